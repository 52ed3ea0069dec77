import * as Plot from "@observablehq/plot";
import type { Row } from "../book/table-rows.ts";
import { plotLook } from "./plot-look.ts";

export interface CurveWithBand {
  readonly rows: readonly Row[];
  readonly width: number;
  readonly x: string;
  readonly value: string;
  readonly lo: string;
  readonly hi: string;
  /** Column that tells curves apart: each gets a picture of its own on the same scales; null when there is one. */
  readonly each: string | null;
  readonly xMeasure: string;
  readonly measure: string;
  readonly against: number;
  readonly scale?: "ratio" | "share";
}

/** Curves with their 95 % limits as bands, one small picture a curve. Null when there are no rows. */
export function curveWithBand(plot: CurveWithBand): Element | null {
  const { rows, width, each, x, value, lo, hi } = plot;
  if (rows.length === 0) return null;
  const names = each === null ? [""] : [...new Set(rows.map((row) => String(row[each])))];
  const across = Math.max(1, Math.min(names.length, Math.floor(width / 260)));
  const place = new Map(names.map((name, i) => [name, { column: i % across, row: Math.floor(i / across) }]));
  const placed = rows.map((row) => ({ ...row, ...place.get(each === null ? "" : String(row[each]))! }));
  const facet = names.length === 1 ? {} : ({ fx: "column", fy: "row" } as const);
  return Plot.plot({
    ...plotLook,
    width,
    height: names.length === 1 ? 320 : 48 + Math.ceil(names.length / across) * 180,
    marginLeft: 48,
    marginTop: names.length === 1 ? 36 : 44,
    marginBottom: 44,
    marginRight: 24,
    ariaLabel: plot.measure,
    ...(names.length === 1 ? {} : { fx: { axis: null, padding: 0.14 }, fy: { axis: null, padding: 0.3 } }),
    x: { label: plot.xMeasure, labelAnchor: "left", labelArrow: "none", ticks: 4 },
    y: {
      label: plot.measure,
      labelArrow: "none",
      grid: true,
      ticks: 4,
      ...(plot.scale === "share" ? { tickFormat: "~%", domain: [0, 1] } : {}),
      ...(plot.scale === "ratio" ? { type: "log", tickFormat: "~r" } : {}),
    },
    marks: [
      Plot.ruleY([plot.against], { stroke: "var(--ink)", strokeDasharray: "4 3" }),
      Plot.areaY(placed, { ...facet, x, y1: lo, y2: hi, fill: "var(--band)", fillOpacity: 0.8 }),
      Plot.line(placed, { ...facet, x, y: value, stroke: "var(--accent)", strokeWidth: 2 }),
      ...(names.length === 1
        ? []
        : [
            Plot.text(
              names.map((name) => ({ name, ...place.get(name)! })),
              {
                ...facet,
                text: "name",
                frameAnchor: "top-left",
                dy: -18,
                fontWeight: 650,
                fill: "var(--ink)",
              },
            ),
          ]),
    ],
  });
}
