import * as Plot from "@observablehq/plot";
import type { Row } from "../book/table-rows.ts";
import { plotLook } from "./plot-look.ts";

export interface MonthLine {
  readonly rows: readonly Row[];
  readonly width: number;
  /** Column with the first day of each month, as `2024-03-01`. */
  readonly month: string;
  readonly value: string;
  readonly lo: string;
  readonly hi: string;
  readonly measure: string;
  readonly scale?: "share";
}

/** A value month by month with its 95 % limits; months without one leave a gap. Null when none has one. */
export function monthLine(plot: MonthLine): Element | null {
  const { value, lo, hi, width } = plot;
  const points = plot.rows
    .filter((row) => row[value] !== null)
    .map((row) => ({ ...row, day: new Date(String(row[plot.month])) }));
  if (points.length === 0) return null;
  return Plot.plot({
    ...plotLook,
    width,
    height: 300,
    marginLeft: 48,
    marginTop: 36,
    marginRight: 24,
    ariaLabel: plot.measure,
    x: { type: "utc", label: null, ticks: Math.max(3, Math.round(width / 110)) },
    y: {
      label: plot.measure,
      labelArrow: "none",
      grid: true,
      nice: true,
      ticks: 5,
      ...(plot.scale === "share" ? { tickFormat: "~%", domain: [0, undefined] as never } : {}),
    },
    marks: [
      Plot.ruleX(
        points.filter((point) => (point as unknown as Row)[lo] !== null),
        { x: "day", y1: lo, y2: hi, stroke: "var(--quiet)" },
      ),
      Plot.line(points, { x: "day", y: value, stroke: "var(--accent)", strokeWidth: 1.5 }),
      Plot.dot(points, { x: "day", y: value, fill: "var(--accent)", r: 3.5 }),
    ],
  });
}
