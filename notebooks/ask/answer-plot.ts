import * as Plot from "@observablehq/plot";
import type { ColumnTable } from "arquero";
import { type Row, tableRows } from "../book/table-rows.ts";
import { element } from "../look/element.ts";
import { asPicture } from "../plots/as-picture.ts";
import { intervalDots } from "../plots/interval-dots.ts";
import { plotLook } from "../plots/plot-look.ts";

/** Rows that a picture can hold. */
const MOST = 5000;

/**
 * A picture of an answer, drawn from what its columns are: names and numbers as dots, with limits when columns
 * are called lo and hi; a day and a number as a line; two numbers as a cloud. Null when it fits none of these.
 */
export function answerPlot(answer: ColumnTable, width: number): HTMLElement | null {
  const rows = tableRows(answer.slice(0, MOST));
  const columns = answer.columnNames();
  const holds = (test: (value: unknown) => boolean): string[] =>
    columns.filter((name) => {
      const values = rows.map((row) => row[name]).filter((value) => value !== null);
      return values.length > 0 && values.every(test);
    });
  const numbers = holds((value) => typeof value === "number");
  const days = holds((value) => typeof value === "string" && /^\d{4}-\d{2}-\d{2}/.test(value));
  const texts = holds((value) => typeof value === "string").filter((name) => !days.includes(name));
  if (rows.length < 2 || numbers.length === 0) return null;
  const picture = pictureOf(rows, { numbers, days, texts }, width);
  return picture === null
    ? null
    : element(
        "figure",
        {},
        asPicture(picture),
        element("figcaption", {}, "Drawn from the columns as they are; what it means is yours to say."),
      );
}

interface Held {
  readonly numbers: readonly string[];
  readonly days: readonly string[];
  readonly texts: readonly string[];
}

function pictureOf(rows: readonly Row[], { numbers, days, texts }: Held, width: number): Element | null {
  const limits = numbers.includes("lo") && numbers.includes("hi");
  const measures = numbers.filter((name) => name !== "lo" && name !== "hi");
  const name = texts[0];
  const measure = limits ? columnBeforeLimits(rows, measures) : measures[0];
  if (measure === undefined) return null;
  const label = { ...plotLook, width, marginLeft: 56, ariaLabel: measure };
  const y = { label: measure, grid: true, labelArrow: "none" } as const;
  if (days[0] !== undefined) {
    const points = rows.map((row) => ({ ...row, day: new Date(String(row[days[0]!])) }));
    const marks =
      name === undefined ? [Plot.line(points, { x: "day", y: measure, stroke: "var(--accent)" })] : [];
    return Plot.plot({
      ...label,
      x: { type: "utc", label: days[0] },
      y,
      marks: [...marks, Plot.dot(points, { x: "day", y: measure, r: 2.5, fill: "var(--accent)" })],
    });
  }
  if (name !== undefined && new Set(rows.map((row) => row[name])).size === rows.length && rows.length <= 60)
    return intervalDots({
      rows,
      width,
      name,
      value: measure,
      lo: limits ? "lo" : measure,
      hi: limits ? "hi" : measure,
      measure,
      against: null,
    });
  const [x, across] = measures;
  if (x === undefined || across === undefined) return null;
  return Plot.plot({
    ...label,
    x: { label: x, labelArrow: "none" },
    y: { ...y, label: across },
    marks: [Plot.dot(rows, { x, y: across, r: 2.5, fill: "var(--accent)", fillOpacity: 0.5 })],
  });
}

/** Limits stand after the number that they are the limits of. */
function columnBeforeLimits(rows: readonly Row[], measures: readonly string[]): string | undefined {
  const names = Object.keys(rows[0]!);
  const before = names.slice(0, names.indexOf("lo")).filter((name) => measures.includes(name));
  return before.at(-1) ?? measures[0];
}
