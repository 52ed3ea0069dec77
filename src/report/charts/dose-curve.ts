import { colours } from "../design/tokens.ts";
import { axisEnds, axisFormat } from "./axis-ends.ts";
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
  const up = axisEnds([plot.none, ...plot.points.flatMap((point) => [point.estimate, point.lo, point.hi])]);
  const xs = plot.points.map((point) => point.x);
  return {
    title: plot.title,
    description: plot.points.map((point) => point.says).join("; "),
    template: doseTemplate,
    params: {
      across: [Math.min(...xs), Math.max(...xs)],
      up: [up.from, up.to],
      acrossFormat: axisFormat([across.from, across.to], false, false),
      upFormat: axisFormat([up.from, up.to], false, false),
      none: plot.none,
      axisTitle: plot.axis,
      measure: plot.measure,
    },
    data: { points: plot.points },
    height: { wide: 220, narrow: 190 },
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

const y = {
  type: "quantitative",
  scale: { domainMin: { expr: "up[0]" }, domainMax: { expr: "up[1]" }, nice: false, zero: false },
  axis: { tickCount: 5, labelExpr: "format(datum.value, upFormat)", grid: true },
} as const;

const LEFT = 52;

const doseTemplate = chartTemplate("dose-curve", {
  params: {
    across: [0, 1],
    up: [0, 1],
    acrossFormat: "~g",
    upFormat: "~g",
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
