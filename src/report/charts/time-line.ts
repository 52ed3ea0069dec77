import { colours } from "../design/tokens.ts";
import { axisEnds, axisFormat } from "./axis-ends.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { legible, xAxisTitle, yAxisTitle } from "./plot-text.ts";

/** One point of a line through time; without a value the line breaks. */
export interface TimePoint {
  readonly day: number;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  readonly says: string;
  /** The point that the page speaks of: drawn larger. */
  readonly current: boolean;
}

export interface TimeLine {
  readonly title: string;
  readonly measure: string;
  readonly points: readonly TimePoint[];
  /** Words below the axis. */
  readonly ticks: readonly { readonly day: number; readonly label: string }[];
  /** Days with records, ticked along the foot so that gaps show. */
  readonly recordDays: readonly number[];
  readonly axis: string;
  readonly share?: true;
}

/** A figure season by season, with its limits as a light band. The axis starts at zero. */
export function timeLine(plot: TimeLine): Chart {
  const ends = axisEnds([0, ...plot.points.flatMap((point) => [point.value, point.lo, point.hi])], 4);
  const days = [...plot.points.map((point) => point.day), ...plot.recordDays];
  return {
    title: plot.title,
    description: plot.points.map((point) => point.says).join("; "),
    template: timeTemplate,
    params: {
      days: [Math.min(...days), Math.max(...days)],
      ends: [ends.from, ends.to],
      numberFormat: axisFormat([ends.from, ends.to], plot.share ?? false, false),
      axisTitle: plot.axis,
      measure: plot.measure,
    },
    data: {
      points: plot.points.map((point) => ({ ...point, size: point.current ? 120 : 50 })),
      ticks: thinned(plot.ticks, MOST_TICKS.wide).map((tick) => ({
        ...tick,
        lines: tick.label.split(" "),
        onPhone: thinned(plot.ticks, MOST_TICKS.narrow).includes(tick),
      })),
      records: plot.recordDays.map((day) => ({ day })),
    },
    height: { wide: 180, narrow: 160 },
  };
}

const MOST_TICKS = { wide: 6, narrow: 4 } as const;

/** At most so many, evenly spaced, the last among them. */
function thinned<T>(ticks: readonly T[], most: number): readonly T[] {
  const every = Math.ceil(ticks.length / most);
  return ticks.filter((_, i) => (ticks.length - 1 - i) % every === 0);
}

const x = {
  type: "quantitative",
  scale: { domainMin: { expr: "days[0]" }, domainMax: { expr: "days[1]" }, nice: false, zero: false },
  axis: { labels: false, ticks: false, grid: false },
} as const;

const y = {
  type: "quantitative",
  scale: { domainMin: { expr: "ends[0]" }, domainMax: { expr: "ends[1]" }, nice: false, zero: false },
  axis: { tickCount: 4, labelExpr: "format(datum.value, numberFormat)", grid: true },
} as const;

const LEFT = 48;

const timeTemplate = chartTemplate("time-line", {
  params: { days: [0, 1], ends: [0, 1], numberFormat: "~g", axisTitle: "", measure: "", leftRoom: LEFT },
  padding: {
    wide: { left: LEFT, right: 40, top: 28, bottom: 62 },
    narrow: { left: LEFT, right: 30, top: 28, bottom: 62 },
  },
  layer: [
    {
      data: { name: "points" },
      mark: { type: "area", color: colours.band, invalid: "break-paths-show-path-domains", aria: false },
      encoding: { x: { field: "day", ...x }, y: { field: "lo", ...y }, y2: { field: "hi" } },
    },
    {
      data: { name: "points" },
      transform: [{ filter: "isValid(datum.value)" }],
      mark: { type: "rule", color: colours.accent, strokeWidth: 1, aria: false },
      encoding: { x: { field: "day", ...x }, y: { field: "lo", ...y }, y2: { field: "hi" } },
    },
    {
      data: { name: "points" },
      mark: {
        type: "line",
        color: colours.accent,
        strokeWidth: 2,
        invalid: "break-paths-show-path-domains",
        aria: false,
      },
      encoding: { x: { field: "day", ...x }, y: { field: "value", ...y } },
    },
    {
      data: { name: "points" },
      transform: [{ filter: "isValid(datum.value)" }],
      mark: { type: "point", color: colours.accent, size: { expr: "datum.size" } },
      encoding: { x: { field: "day", ...x }, y: { field: "value", ...y }, description: { field: "says" } },
    },
    {
      data: { name: "records" },
      mark: {
        type: "tick",
        orient: "vertical",
        color: colours.quiet,
        size: 6,
        thickness: 1,
        y: { expr: "height + 4" },
        aria: false,
      },
      encoding: { x: { field: "day", ...x } },
    },
    ...legible({
      data: { name: "ticks" },
      transform: [{ filter: "!narrow || datum.onPhone" }],
      mark: {
        type: "text",
        align: "center",
        baseline: "middle",
        y: { expr: "height + 18" },
        lineHeight: 14,
        aria: false,
      },
      encoding: { x: { field: "day", ...x }, text: { field: "lines" } },
    }),
    { ...xAxisTitle, mark: { ...(xAxisTitle as { mark: object }).mark, y: { expr: "height + 54" } } },
    yAxisTitle,
  ],
});
