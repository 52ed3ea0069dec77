import * as Plot from "@observablehq/plot";
import type { Row } from "../book/table-rows.ts";
import { plotLook, roomFor } from "./plot-look.ts";

export interface IntervalDots {
  readonly rows: readonly Row[];
  readonly width: number;
  /** Column with the name of each row. */
  readonly name: string;
  readonly value: string;
  readonly lo: string;
  readonly hi: string;
  readonly measure: string;
  /** A value to hold the others against, and what it is. */
  readonly against: { readonly value: number; readonly says: string } | null;
  readonly scale?: "ratio" | "share";
}

/** Dots with their 95 % limits on one scale; a row without a value stands empty. Null when none has one. */
export function intervalDots(plot: IntervalDots): Element | null {
  const { rows, width, name, value, lo, hi, against } = plot;
  const told = rows.filter((row) => row[value] !== null);
  if (told.length === 0) return null;
  const names = [...new Set(rows.map((row) => String(row[name])))];
  return Plot.plot({
    ...plotLook,
    width,
    height: 64 + names.length * 30,
    marginLeft: roomFor(names, width),
    marginRight: 24,
    marginTop: 28,
    marginBottom: 40,
    ariaLabel: plot.measure,
    x: {
      label: plot.measure,
      labelAnchor: "left",
      labelArrow: "none",
      grid: true,
      nice: true,
      ticks: Math.max(3, Math.round(width / 140)),
      ...(plot.scale === "ratio" ? { type: "log", tickFormat: "~r" } : {}),
      ...(plot.scale === "share" ? { tickFormat: "~%" } : {}),
    },
    y: { label: null, domain: names, tickSize: 0 },
    marks: [
      ...(against === null
        ? []
        : [
            Plot.ruleX([against.value], { stroke: "var(--ink)", strokeDasharray: "4 3" }),
            Plot.text([against.says], {
              x: [against.value],
              frameAnchor: "top",
              dy: -20,
              textAnchor: "middle",
              fill: "var(--quiet)",
            }),
          ]),
      Plot.ruleY(
        told.filter((row) => row[lo] !== null && row[hi] !== null),
        { y: name, x1: lo, x2: hi, stroke: "var(--accent)", strokeWidth: 2 },
      ),
      Plot.dot(told, { x: value, y: name, fill: "var(--accent)", r: 5 }),
    ],
  });
}
