import { colours } from "../design/tokens.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { legible, xAxisTitle, yAxisTitle } from "./plot-text.ts";

export interface RetrimSteps {
  readonly title: string;
  readonly description: string;
  readonly axisDays: string;
  readonly axisShare: string;
  readonly steps: readonly {
    readonly day: number;
    readonly share: number;
    readonly lo: number | null;
    readonly hi: number | null;
    readonly says: string;
  }[];
  /** Days between which the checks do not tell when the curve falls. */
  readonly unknown: readonly { readonly from: number; readonly to: number; readonly says: string }[];
  readonly median: { readonly day: number; readonly label: string } | null;
}

/** How long a trim lasts: the share still within the limit, day by day after it, with what is not known shaded. */
export function retrimSteps(plot: RetrimSteps): Chart {
  const last = Math.max(...plot.steps.map((step) => step.day));
  const { median } = plot;
  const near = median !== null && median.day < last * 0.55;
  return {
    title: plot.title,
    description: plot.description,
    template: retrimTemplate,
    params: { lastDay: last, axisTitle: plot.axisDays, measure: plot.axisShare },
    data: {
      steps: plot.steps,
      unknown: plot.unknown,
      median: median
        ? [
            {
              day: median.day,
              from: 0,
              to: 0.5,
              label: median.label,
              align: near ? "left" : "right",
              shift: near ? 8 : -8,
            },
          ]
        : [],
    },
    height: { wide: 240, narrow: 200 },
  };
}

const x = {
  type: "quantitative",
  scale: { domainMin: 0, domainMax: { expr: "lastDay" }, nice: false, zero: false },
  axis: { tickCount: { expr: "narrow ? 5 : 8" }, labelOverlap: true, grid: false },
} as const;

const y = {
  type: "quantitative",
  scale: { domain: [0, 1] },
  axis: { format: ".0%", values: [0, 0.25, 0.5, 0.75, 1], grid: true },
} as const;

const LEFT = 48;

const retrimTemplate = chartTemplate("retrim-steps", {
  params: { lastDay: 100, axisTitle: "", measure: "", leftRoom: LEFT },
  padding: {
    wide: { left: LEFT, right: 16, top: 28, bottom: 44 },
    narrow: { left: LEFT, right: 12, top: 28, bottom: 44 },
  },
  layer: [
    {
      data: { name: "unknown" },
      mark: { type: "rect", color: colours.wash, stroke: colours.hairline, strokeDash: [2, 2] },
      encoding: { x: { field: "from", ...x }, x2: { field: "to" }, description: { field: "says" } },
    },
    {
      data: { name: "steps" },
      mark: { type: "area", interpolate: "step-after", color: colours.band, aria: false },
      encoding: { x: { field: "day", ...x }, y: { field: "lo", ...y }, y2: { field: "hi" } },
    },
    {
      data: { name: "steps" },
      mark: { type: "line", interpolate: "step-after", color: colours.accent, strokeWidth: 2, aria: false },
      encoding: { x: { field: "day", ...x }, y: { field: "share", ...y } },
    },
    {
      data: { name: "steps" },
      mark: { type: "rect", opacity: 0, width: 10, height: 14 },
      encoding: { x: { field: "day", ...x }, y: { field: "share", ...y }, description: { field: "says" } },
    },
    {
      data: { name: "median" },
      mark: { type: "rule", strokeDash: [4, 3], color: colours.ink },
      encoding: {
        x: { field: "day", ...x },
        y: { field: "from", ...y },
        y2: { field: "to" },
        description: { field: "label" },
      },
    },
    ...legible({
      data: { name: "median" },
      mark: {
        type: "text",
        align: { expr: "datum.align" },
        xOffset: { expr: "datum.shift" },
        yOffset: -12,
        baseline: "middle",
        aria: false,
      },
      encoding: { x: { field: "day", ...x }, y: { field: "to", ...y }, text: { field: "label" } },
    }),
    xAxisTitle,
    yAxisTitle,
  ],
});
