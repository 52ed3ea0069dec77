import { colours } from "../design/tokens.ts";
import { type Chart, chart } from "./chart.ts";

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
  }[];
  /** Days between which the checks do not tell when the curve falls. */
  readonly unknown: readonly { readonly from: number; readonly to: number }[];
  readonly unknownLabel: string;
  readonly median: { readonly day: number; readonly label: string } | null;
}

/** How long a trim lasts: the share still within the limit, day by day after it, with what is not known shaded. */
export function retrimSteps(plot: RetrimSteps): Chart {
  const days = plot.steps.map((step) => step.day);
  const x = {
    type: "quantitative",
    scale: { domain: [0, Math.max(...days)], nice: false },
    axis: { title: plot.axisDays, tickCount: 8 },
  } as const;
  const y = {
    type: "quantitative",
    scale: { domain: [0, 1] },
    axis: { title: plot.axisShare, format: ".0%", tickCount: 5 },
  } as const;
  const median = plot.median
    ? [
        {
          data: { values: [{ day: plot.median.day, from: 0, to: 0.5, label: plot.median.label }] },
          mark: { type: "rule", strokeDash: [4, 3], color: colours.ink },
          encoding: { x: { field: "day", ...x }, y: { field: "from", ...y }, y2: { field: "to" } },
        },
        {
          data: { values: [{ day: plot.median.day, at: 0.5, label: plot.median.label }] },
          mark: { type: "text", align: "left", dx: 8, dy: -8 },
          encoding: { x: { field: "day", ...x }, y: { field: "at", ...y }, text: { field: "label" } },
        },
      ]
    : [];
  return chart(plot.title, plot.description, {
    width: 520,
    height: 240,
    layer: [
      {
        data: { values: plot.unknown.map((region) => ({ ...region, label: plot.unknownLabel })) },
        mark: { type: "rect", color: colours.wash },
        encoding: { x: { field: "from", ...x }, x2: { field: "to" }, description: { field: "label" } },
      },
      {
        data: { values: plot.steps },
        mark: { type: "area", interpolate: "step-after", color: colours.band },
        encoding: { x: { field: "day", ...x }, y: { field: "lo", ...y }, y2: { field: "hi" } },
      },
      {
        data: { values: plot.steps },
        mark: { type: "line", interpolate: "step-after", color: colours.accent, strokeWidth: 2 },
        encoding: { x: { field: "day", ...x }, y: { field: "share", ...y } },
      },
      ...median,
    ],
  } as never);
}
