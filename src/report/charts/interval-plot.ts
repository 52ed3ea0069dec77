import { colours } from "../design/tokens.ts";
import { type Chart, chart } from "./chart.ts";

/** One row of an interval plot; without an estimate the row stays empty and says why. */
export interface IntervalRow {
  readonly label: string;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  /** What it rests on, or why there is no figure: stands at the right. */
  readonly note: string;
  /** Drawn hollow: a control, or a figure that is not the claim itself. */
  readonly hollow?: boolean;
}

export interface IntervalPlot {
  readonly title: string;
  readonly description: string;
  readonly axis: string;
  readonly rows: readonly IntervalRow[];
  /** The flock's own value, or 'no difference', as a line with its words. */
  readonly reference?: { readonly value: number; readonly label: string };
  readonly domain?: readonly [number, number];
  readonly scale?: "linear" | "log";
  readonly format?: string;
}

const ROW_HEIGHT = 26;
const WIDTH = 360;

/** Estimates with their limits as dots on lines, on one scale, in the order given. */
export function intervalPlot(plot: IntervalPlot): Chart {
  const rows = plot.rows.map((row, order) => ({ ...row, order, hollow: row.hollow ?? false }));
  const y = {
    field: "label",
    type: "nominal",
    sort: rows.map((row) => row.label),
    axis: { title: null },
  } as const;
  const x = {
    type: "quantitative",
    scale: {
      type: plot.scale ?? "linear",
      zero: false,
      nice: true,
      ...(plot.domain ? { domain: [...plot.domain] } : {}),
    },
    axis: { title: plot.axis, tickCount: 6, grid: true, ...(plot.format ? { format: plot.format } : {}) },
  } as const;
  const reference = plot.reference
    ? [
        {
          data: { values: [{ at: plot.reference.value, label: plot.reference.label }] },
          mark: { type: "rule", strokeDash: [4, 3], color: colours.quiet },
          encoding: { x: { field: "at", ...x } },
        },
        {
          data: { values: [{ at: plot.reference.value, label: plot.reference.label }] },
          mark: { type: "text", align: "center", baseline: "bottom", y: -4, color: colours.quiet },
          encoding: { x: { field: "at", ...x }, text: { field: "label" } },
        },
      ]
    : [];
  return chart(plot.title, plot.description, {
    width: WIDTH,
    height: { step: ROW_HEIGHT },
    data: { values: rows },
    layer: [
      ...reference,
      {
        mark: { type: "rule", strokeWidth: 2, color: colours.accent },
        encoding: { y, x: { field: "lo", ...x }, x2: { field: "hi" } },
      },
      {
        mark: { type: "point", filled: true, size: 70, stroke: colours.accent, strokeWidth: 2, opacity: 1 },
        encoding: {
          y,
          x: { field: "value", ...x },
          fill: { condition: { test: "datum.hollow", value: colours.paper }, value: colours.accent },
          description: { field: "note" },
        },
      },
      {
        mark: { type: "text", align: "left", x: WIDTH + 12, color: colours.quiet },
        encoding: { y, text: { field: "note" } },
      },
    ],
  } as never);
}
