import { colours } from "../design/tokens.ts";
import { axisFormat } from "./axis-ends.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { plotText } from "./plot-text.ts";

/** One month of a pen; without scores the month stays empty. */
export interface ControlMonth {
  readonly share: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly centre: number | null;
  readonly outside: boolean;
  readonly says: string;
}

export interface ControlChart {
  /** The pen's name. */
  readonly title: string;
  readonly months: readonly ControlMonth[];
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
  /** Top of the axis, the same for all pens of a page. */
  readonly top: number;
  /** Months in which a signal was raised, with its words. */
  readonly signals: readonly { readonly at: number; readonly says: string }[];
}

/**
 * A pen's share of lame scores month by month, with the centre and the limits that chance alone keeps within,
 * which widen where few were scored. A month outside them is ringed.
 */
export function controlChart(plot: ControlChart): Chart {
  const months = plot.months.map((month, at) => ({ ...month, at, from: at - 0.5, to: at + 0.5 }));
  return {
    title: plot.title,
    description: months
      .filter((month) => month.share !== null)
      .map((month) => month.says)
      .join("; "),
    template: controlTemplate,
    params: {
      most: Math.max(1, plot.months.length) - 0.5,
      top: plot.top,
      pen: plot.title,
      numberFormat: axisFormat([0, plot.top], true, false),
    },
    data: { months, ticks: plot.ticks, signals: plot.signals },
    height: { wide: 96, narrow: 96 },
  };
}

const x = {
  type: "quantitative",
  scale: { domainMin: -0.5, domainMax: { expr: "most" }, nice: false, zero: false },
  axis: { labels: false, ticks: false, grid: false },
} as const;

const y = {
  type: "quantitative",
  scale: { domainMin: 0, domainMax: { expr: "top" }, nice: false },
  axis: { tickCount: 3, labelExpr: "format(datum.value, numberFormat)", grid: true },
} as const;

const LEFT = 44;

const controlTemplate = chartTemplate("control-chart", {
  params: { most: 1, top: 1, pen: "", numberFormat: ".0%" },
  padding: {
    wide: { left: LEFT, right: 12, top: 26, bottom: 26 },
    narrow: { left: LEFT, right: 12, top: 26, bottom: 26 },
  },
  layer: [
    {
      data: { name: "months" },
      transform: [{ filter: "isValid(datum.upper)" }],
      mark: { type: "rect", color: colours.band, aria: false },
      encoding: {
        x: { field: "from", ...x },
        x2: { field: "to" },
        y: { field: "lower", ...y },
        y2: { field: "upper" },
      },
    },
    {
      data: { name: "months" },
      transform: [{ filter: "isValid(datum.centre)" }],
      mark: { type: "rule", color: colours.quiet, strokeDash: [4, 3], aria: false },
      encoding: { x: { field: "from", ...x }, x2: { field: "to" }, y: { field: "centre", ...y } },
    },
    {
      data: { name: "months" },
      mark: {
        type: "line",
        color: colours.accent,
        strokeWidth: 1,
        invalid: "break-paths-show-path-domains",
        aria: false,
      },
      encoding: { x: { field: "at", ...x }, y: { field: "share", ...y } },
    },
    {
      data: { name: "months" },
      transform: [{ filter: "datum.outside" }],
      mark: { type: "point", filled: false, stroke: colours.ink, strokeWidth: 2, size: 160, aria: false },
      encoding: { x: { field: "at", ...x }, y: { field: "share", ...y } },
    },
    {
      data: { name: "months" },
      transform: [{ filter: "isValid(datum.share)" }],
      mark: { type: "point", color: colours.accent, size: 30 },
      encoding: { x: { field: "at", ...x }, y: { field: "share", ...y }, description: { field: "says" } },
    },
    {
      data: { name: "signals" },
      mark: { type: "point", shape: "triangle-down", color: colours.ink, size: 70, y: 4 },
      encoding: { x: { field: "at", ...x }, description: { field: "says" } },
    },
    {
      data: { name: "ticks" },
      mark: { type: "text", align: "center", baseline: "middle", y: { expr: "height + 14" }, aria: false },
      encoding: { x: { field: "at", ...x }, text: { field: "label" } },
    },
    plotText({ text: { expr: "pen" }, x: -LEFT, y: -14 }),
  ],
});
