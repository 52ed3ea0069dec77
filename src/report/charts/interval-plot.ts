import { colours } from "../design/tokens.ts";
import { axisParams, type MeasuredAxis, measuredAxis, spanOf } from "./axis-ends.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { legible, plotText, xAxisTitle } from "./plot-text.ts";
import { wrapLabel } from "./wrap-label.ts";

/** One row of an interval plot; without an estimate the row stays empty and says why. */
export interface IntervalRow {
  readonly label: string;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  /** What it rests on: a count that stands at the right. */
  readonly count: string;
  /** The row in words, with its limits. */
  readonly says: string;
  /** Why there is no figure; stands in the empty row. */
  readonly reason: string;
  /** Drawn hollow: a control, or a figure that is not the claim itself. */
  readonly hollow?: boolean;
  /** Its limits do not stretch the axis: where they go past it, an arrowhead says so. */
  readonly mayRunOff?: boolean;
}

export interface IntervalPlot {
  readonly title: string;
  /** What the axis shows, with its unit. */
  readonly axis: string;
  /** What the counts at the right count. */
  readonly counted: string;
  readonly rows: readonly IntervalRow[];
  /** The flock's own value, or 'no difference', as a line with its words. */
  readonly reference?: { readonly value: number; readonly label: string };
  /** What the axis measures, where its words are not shared by all charts of the measure. */
  readonly measure?: string;
  /** Whether `lo` to `hi` is a range to lie within, drawn as a band, rather than an estimate's limits. */
  readonly ranges?: true;
  /** A ratio axis in doublings. */
  readonly ratio?: true;
  /** Words at the two ends of the axis, such as 'less lameness' and 'more lameness'. */
  readonly endWords?: { readonly less: string; readonly more: string };
  /** Whether values are shares, shown as percentages. */
  readonly share?: true;
}

/** Estimates with their limits as dots on lines, on one scale, in the order given. */
export function intervalPlot(plot: IntervalPlot): Chart {
  const measured: MeasuredAxis = {
    measure: plot.measure ?? plot.axis,
    scale: plot.ratio ? "ratio" : "linear",
    isShare: plot.share ?? false,
    span: spanOf([
      ...plot.rows.flatMap((row) => (row.mayRunOff ? [row.value] : [row.value, row.lo, row.hi])),
      plot.reference?.value ?? null,
    ]) ?? [0, 1],
    steps: TICKS.wide,
  };
  return {
    title: plot.title,
    description: plot.rows.map((row) => row.says).join("; "),
    template: plot.ratio ? ratioTemplate : plot.endWords ? differenceTemplate : linearTemplate,
    params: {
      ...axisParams(measured),
      rowCount: plot.rows.length,
      ranges: plot.ranges ?? false,
      axisTitle: plot.axis,
      counted: plot.counted,
      less: plot.endWords ? `← ${plot.endWords.less}` : "",
      more: plot.endWords ? `${plot.endWords.more} →` : "",
    },
    data: {
      rows: plot.rows.map((row, i) => ({
        middle: i + 0.5,
        value: row.value,
        lo: row.lo ?? (isOpen(plot, row) ? -FAR : row.value),
        hi: row.hi ?? (isOpen(plot, row) ? FAR : row.value),
        wideLabel: wrapLabel(row.label, LABEL_CHARACTERS.wide),
        narrowLabel: wrapLabel(row.label, LABEL_CHARACTERS.narrow),
        count: row.count,
        says: row.says,
        wideReason: wrapLabel(row.reason, REASON_CHARACTERS.wide),
        narrowReason: wrapLabel(row.reason, REASON_CHARACTERS.narrow),
        hollow: row.hollow ?? false,
      })),
      reference: plot.reference ? [{ at: plot.reference.value, label: plot.reference.label }] : [],
    },
    measured,
    height: { wide: ROW.wide * plot.rows.length, narrow: ROW.narrow * plot.rows.length },
  };
}

/** Past the end of any axis: a range without a bound on one side. */
const FAR = 1e12;

const isOpen = (plot: IntervalPlot, { lo, hi }: IntervalRow): boolean =>
  plot.ranges === true && (lo === null) !== (hi === null);

const TICKS = { wide: 6, narrow: 4 } as const;
const ROW = { wide: 30, narrow: 46 } as const;
const LABEL_CHARACTERS = { wide: 22, narrow: 36 } as const;
const REASON_CHARACTERS = { wide: 56, narrow: 42 } as const;

/** On a phone the title of the axis may take a second line. */
const SECOND_LINE = 16;

const padding = (bottom: number) => ({
  wide: { left: 184, right: 64, top: 20, bottom },
  narrow: { left: 10, right: 18, top: 20, bottom: bottom + SECOND_LINE },
});

const y = {
  field: "middle",
  type: "quantitative",
  scale: { domainMin: 0, domainMax: { expr: "rowCount" }, nice: false, zero: false, reverse: true },
  axis: null,
} as const;

const isKnown = { filter: "isValid(datum.value)" };
const shownLimits = [
  isKnown,
  { calculate: "max(datum.lo, ends[0])", as: "from" },
  { calculate: "min(datum.hi, ends[1])", as: "to" },
];
const runsOff = {
  left: [isKnown, { filter: "!ranges && datum.lo < ends[0]" }, { calculate: "ends[0]", as: "end" }],
  right: [isKnown, { filter: "!ranges && datum.hi > ends[1]" }, { calculate: "ends[1]", as: "end" }],
} as const;
const rows = { name: "rows" };
/** On a phone the label stands above its interval, else beside it. */
const line = { expr: "narrow ? 11 : 0" };
const head = (extra: string) => ({ expr: `(narrow ? -9 : 0) - 7 * (length(${extra}) - 1)` });
const shownLabel = "(narrow ? datum.narrowLabel : datum.wideLabel)";
const shownReason = "(narrow ? datum.narrowReason : datum.wideReason)";
/** How the words of the reference line stand at it, so that they stay within the plot. */
const place = (scale: "linear" | "log"): string => {
  const at = (value: string): string => (scale === "log" ? `log(${value})` : value);
  const share = `(${at("datum.at")} - ${at("ends[0]")}) / (${at("ends[1]")} - ${at("ends[0]")})`;
  return `${share} < 0.15 ? 'left' : ${share} > 0.6 ? 'right' : 'center'`;
};
const countColumn = { expr: "width + (narrow ? 0 : 52)" };

function template(name: string, scale: "linear" | "log", withEndWords: boolean) {
  const measured = measuredAxis(scale);
  const tickCount = { expr: `narrow ? ${TICKS.narrow} : ${TICKS.wide}` };
  const x = { ...measured, axis: { ...measured.axis, tickCount, labelOverlap: true } };
  return chartTemplate(name, {
    params: {
      ends: [0.5, 2],
      ticks: [],
      rowCount: 1,
      ranges: false,
      numberFormat: "~g",
      axisTitle: "",
      counted: "",
      less: "",
      more: "",
    },
    padding: padding(withEndWords ? 62 : 44),
    layer: [
      {
        data: rows,
        transform: [isKnown],
        mark: {
          type: "rule",
          color: colours.hairline,
          strokeDash: [1, 3],
          yOffset: line,
          x: 0,
          x2: { expr: "width" },
          aria: false,
        },
        encoding: { y },
      },
      {
        data: { name: "reference" },
        mark: { type: "rule", strokeDash: [4, 3], color: colours.quiet },
        encoding: { x: { field: "at", ...x }, description: { field: "label" } },
      },
      {
        data: { name: "reference" },
        mark: {
          type: "text",
          baseline: "middle",
          align: { expr: place(scale) },
          y: -12,
          color: colours.quiet,
          aria: false,
        },
        encoding: { x: { field: "at", ...x }, text: { field: "label" } },
      },
      {
        data: rows,
        transform: shownLimits,
        mark: {
          type: "rule",
          strokeWidth: { expr: "ranges ? 12 : 2" },
          stroke: { expr: `ranges ? '${colours.hairline}' : '${colours.accent}'` },
          yOffset: line,
          aria: false,
        },
        encoding: { y, x: { field: "from", ...x }, x2: { field: "to" } },
      },
      ...(["left", "right"] as const).map((side) => ({
        data: rows,
        transform: runsOff[side],
        mark: { type: "point", shape: `triangle-${side}`, color: colours.accent, yOffset: line, aria: false },
        encoding: { y, x: { field: "end", ...x } },
      })),
      {
        data: rows,
        transform: [isKnown],
        mark: { type: "point", stroke: colours.accent, strokeWidth: 2, yOffset: line },
        encoding: {
          y,
          x: { field: "value", ...x },
          fill: { condition: { test: "datum.hollow", value: colours.paper }, value: colours.accent },
          description: { field: "says" },
        },
      },
      ...legible({
        data: rows,
        mark: {
          type: "text",
          text: { expr: shownLabel },
          x: { expr: "narrow ? 0 : -14" },
          align: { expr: "narrow ? 'left' : 'right'" },
          baseline: "middle",
          yOffset: head(shownLabel),
          lineHeight: 14,
          aria: false,
        },
        encoding: { y },
      }),
      ...legible({
        data: rows,
        mark: {
          type: "text",
          x: countColumn,
          align: "right",
          baseline: "middle",
          yOffset: { expr: "narrow ? -9 : 0" },
          color: colours.quiet,
          aria: false,
        },
        encoding: { y, text: { field: "count" } },
      }),
      ...legible({
        data: rows,
        transform: [{ filter: "!isValid(datum.value)" }],
        mark: {
          type: "text",
          text: { expr: shownReason },
          x: 0,
          align: "left",
          baseline: "middle",
          yOffset: { expr: `(narrow ? 11 : 0) - 7 * (length(${shownReason}) - 1)` },
          lineHeight: 14,
          color: colours.quiet,
          fontStyle: "italic",
        },
        encoding: { y, description: { field: "says" } },
      }),
      xAxisTitle,
      plotText({ text: { expr: "counted" }, x: countColumn, y: -12, align: "right" }),
      plotText({ text: { expr: "less" }, x: 0, y: { expr: `height + 54 + (narrow ? ${SECOND_LINE} : 0)` } }),
      plotText({
        text: { expr: "more" },
        x: { expr: "width" },
        y: { expr: `height + 54 + (narrow ? ${SECOND_LINE} : 0)` },
        align: "right",
      }),
    ],
  });
}

const linearTemplate = template("interval-plot", "linear", false);
const differenceTemplate = template("difference-plot", "linear", true);
const ratioTemplate = template("ratio-plot", "log", true);
