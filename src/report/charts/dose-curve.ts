import { colours } from "../design/tokens.ts";
import { axisEnds, axisFormat, axisParams, type MeasuredAxis, measuredAxis, spanOf } from "./axis-ends.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { xAxisTitle, yAxisTitle } from "./plot-text.ts";

export interface DoseCurve {
  readonly title: string;
  /** What was measured along the foot, with its unit. */
  readonly axis: string;
  readonly measure: string;
  readonly points: readonly {
    readonly x: number;
    readonly estimate: number;
    readonly lo: number | null;
    readonly hi: number | null;
    readonly says: string;
  }[];
  /** The value that means no difference: 0 for a difference, 1 for a ratio. */
  readonly none: number;
}

/** How an outcome goes with an exposure across its range, with its limits as a light band. */
export function doseCurve(plot: DoseCurve): Chart {
  const across = axisEnds(plot.points.map((point) => point.x));
  const measured: MeasuredAxis = {
    measure: plot.measure,
    scale: plot.none === 1 ? "ratio" : "linear",
    isShare: false,
    span: spanOf([plot.none, ...plot.points.flatMap((point) => [point.estimate, point.lo, point.hi])])!,
    steps: 5,
  };
  const xs = plot.points.map((point) => point.x);
  return {
    title: plot.title,
    description: plot.points.map((point) => point.says).join("; "),
    template: plot.none === 1 ? ratioTemplate : differenceTemplate,
    params: {
      ...axisParams(measured),
      across: [Math.min(...xs), Math.max(...xs)],
      acrossFormat: axisFormat([across.from, across.to], false, false),
      none: plot.none,
      axisTitle: plot.axis,
      measure: plot.measure,
    },
    data: { points: plot.points },
    height: { wide: 220, narrow: 190 },
    measured,
  };
}

const x = {
  type: "quantitative",
  scale: { domainMin: { expr: "across[0]" }, domainMax: { expr: "across[1]" }, nice: false, zero: false },
  axis: {
    tickCount: { expr: "narrow ? 4 : 6" },
    labelExpr: "format(datum.value, acrossFormat)",
    labelOverlap: true,
    grid: false,
  },
} as const;

const LEFT = 52;

function template(name: string, scale: "linear" | "log") {
  const measured = measuredAxis(scale);
  const y = { ...measured, axis: { ...measured.axis, tickCount: 5 } };
  return chartTemplate(name, {
    params: {
      across: [0, 1],
      ends: [0.5, 2],
      ticks: [],
      acrossFormat: "~g",
      numberFormat: "~g",
      none: 0,
      axisTitle: "",
      measure: "",
      leftRoom: LEFT,
    },
    padding: {
      wide: { left: LEFT, right: 24, top: 28, bottom: 44 },
      narrow: { left: LEFT, right: 16, top: 28, bottom: 44 },
    },
    layer: [
      {
        data: { name: "points" },
        mark: { type: "area", color: colours.band, aria: false },
        encoding: { x: { field: "x", ...x }, y: { field: "lo", ...y }, y2: { field: "hi" } },
      },
      {
        data: { values: [{}] },
        transform: [{ calculate: "none", as: "none" }],
        mark: { type: "rule", strokeDash: [4, 3], color: colours.quiet, aria: false },
        encoding: { y: { field: "none", ...y } },
      },
      {
        data: { name: "points" },
        mark: { type: "line", color: colours.accent, strokeWidth: 2, aria: false },
        encoding: { x: { field: "x", ...x }, y: { field: "estimate", ...y } },
      },
      {
        data: { name: "points" },
        mark: { type: "point", opacity: 0, size: 120 },
        encoding: { x: { field: "x", ...x }, y: { field: "estimate", ...y }, description: { field: "says" } },
      },
      xAxisTitle,
      yAxisTitle,
    ],
  });
}

const differenceTemplate = template("dose-curve", "linear");
const ratioTemplate = template("dose-curve-ratio", "log");
