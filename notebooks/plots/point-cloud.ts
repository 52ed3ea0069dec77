import * as Plot from "@observablehq/plot";
import type { Row } from "../book/table-rows.ts";
import { plotLook } from "./plot-look.ts";

export interface PointCloud {
  readonly rows: readonly Row[];
  readonly width: number;
  readonly x: string;
  readonly y: string;
  readonly xMeasure: string;
  readonly yMeasure: string;
}

/** One faint dot a row. Null when there are none. */
export function pointCloud({ rows, width, x, y, xMeasure, yMeasure }: PointCloud): Element | null {
  if (rows.length === 0) return null;
  return Plot.plot({
    ...plotLook,
    width,
    height: 340,
    marginLeft: 48,
    marginTop: 36,
    marginBottom: 40,
    ariaLabel: `${yMeasure} by ${xMeasure}`,
    x: {
      label: xMeasure,
      labelArrow: "none",
      labelAnchor: "left",
      nice: true,
      ticks: Math.max(3, Math.round(width / 110)),
    },
    y: { label: yMeasure, labelArrow: "none", grid: true, nice: true },
    marks: [Plot.dot(rows, { x, y, r: 2.5, fill: "var(--accent)", fillOpacity: 0.35 })],
  });
}
