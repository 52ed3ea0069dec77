import type { Rim } from "../../pipelines/rim.ts";
import { onThisThread } from "../../src/findings/crew.ts";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import { drawOnce } from "../../src/output/draw-once.ts";
import { parseIsoDay } from "../../src/records/days.ts";

/** The outside of the program on a fixed day; what is said goes to `print` and `tell`. */
export function fixedRim(print: (text: string) => void, tell: (text: string) => void): Rim {
  return {
    today: parseIsoDay("2026-03-15")!,
    instant: "2026-03-15T12:00:00.000Z",
    print,
    tell,
    width: null,
    hands: () => ({ crew: onThisThread, draw: drawOnce(chartDrawer()) }),
  };
}
