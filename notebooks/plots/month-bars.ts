import * as Plot from "@observablehq/plot";
import type { Row } from "../book/table-rows.ts";
import { plotLook } from "./plot-look.ts";

export interface MonthBars {
  readonly rows: readonly Row[];
  readonly width: number;
  readonly month: string;
  readonly count: string;
  /** Column that tells kinds of count apart: each stands in a row of its own. */
  readonly each: string;
  readonly measure: string;
}

/** Counts a month, one row a kind on one scale. Null when there are no rows. */
export function monthBars({ rows, width, month, count, each, measure }: MonthBars): Element | null {
  if (rows.length === 0) return null;
  const bars = rows.map((row) => {
    const start = new Date(String(row[month]));
    return { ...row, start, end: new Date(Date.UTC(start.getUTCFullYear(), start.getUTCMonth() + 1, 1)) };
  });
  const kinds = [...new Set(rows.map((row) => String(row[each])))];
  return Plot.plot({
    ...plotLook,
    width,
    height: 40 + kinds.length * 110,
    marginLeft: 40,
    marginTop: 28,
    marginRight: 16,
    ariaLabel: `${measure} by month`,
    x: { type: "utc", label: null, ticks: Math.max(3, Math.round(width / 110)) },
    y: { label: null, ticks: 3, grid: true, insetTop: 4 },
    fy: { axis: null, padding: 0.35, domain: kinds },
    marks: [
      Plot.rectY(bars, {
        x1: "start",
        x2: "end",
        y: count,
        fy: each,
        fill: "var(--accent)",
        insetLeft: 1,
        insetRight: 1,
      }),
      Plot.ruleY([0], { stroke: "var(--ink)" }),
      Plot.text(kinds, {
        text: (kind) => `${kind}, ${measure}`,
        fy: (kind) => kind,
        frameAnchor: "top-left",
        dy: -16,
        fill: "var(--ink)",
        fontWeight: 650,
      }),
    ],
  });
}
