import { colours } from "../design/tokens.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { plotText, xAxisTitle, yAxisTitle } from "./plot-text.ts";

export interface CalibrationPlot {
  readonly title: string;
  readonly axis: string;
  readonly measure: string;
  /** Words at the line on which forecast and outcome agree. */
  readonly exact: string;
  readonly tenths: readonly {
    readonly forecast: number;
    readonly seen: number;
    readonly lo: number | null;
    readonly hi: number | null;
    readonly says: string;
  }[];
}

/** Forecasts against what was then seen, tenth by tenth, with the line of exact agreement. */
export function calibrationPlot(plot: CalibrationPlot): Chart {
  return {
    title: plot.title,
    description: plot.tenths.map((tenth) => tenth.says).join("; "),
    template: calibrationTemplate,
    params: { axisTitle: plot.axis, measure: plot.measure, exact: plot.exact },
    data: { tenths: plot.tenths },
    height: { wide: 300, narrow: 260 },
  };
}

const shares = {
  type: "quantitative",
  scale: { domain: [0, 1] },
} as const;
const x = { ...shares, axis: { format: ".0%", values: [0, 0.25, 0.5, 0.75, 1], grid: true } } as const;
const y = { ...shares, axis: { format: ".0%", values: [0, 0.25, 0.5, 0.75, 1], grid: true } } as const;

const LEFT = 52;

const calibrationTemplate = chartTemplate("calibration-plot", {
  params: { axisTitle: "", measure: "", exact: "", leftRoom: LEFT },
  padding: {
    wide: { left: LEFT, right: 208, top: 28, bottom: 44 },
    narrow: { left: LEFT, right: 16, top: 28, bottom: 44 },
  },
  layer: [
    {
      data: { values: [{ from: 0, to: 1 }] },
      mark: { type: "rule", strokeDash: [4, 3], color: colours.quiet, aria: false },
      encoding: {
        x: { field: "from", ...x },
        x2: { field: "to" },
        y: { field: "from", ...y },
        y2: { field: "to" },
      },
    },
    {
      data: { name: "tenths" },
      mark: { type: "rule", color: colours.accent, strokeWidth: 2, aria: false },
      encoding: { x: { field: "forecast", ...x }, y: { field: "lo", ...y }, y2: { field: "hi" } },
    },
    {
      data: { name: "tenths" },
      mark: { type: "point", color: colours.accent },
      encoding: {
        x: { field: "forecast", ...x },
        y: { field: "seen", ...y },
        description: { field: "says" },
      },
    },
    plotText({ text: { expr: "narrow ? '' : exact" }, x: { expr: "width + 8" }, y: 4 }),
    xAxisTitle,
    yAxisTitle,
  ],
});
