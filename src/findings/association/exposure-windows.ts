import type { Book } from "../../book/book.ts";
import { type ExposureId, exposureIds, exposures } from "./exposures.ts";

/** An exposure's mean over each asked window of days; NaN where less than half of its days have a value. */
export interface WindowMeans {
  readonly mean: Float64Array;
  /** What the mean would be if each pen had its usual value on every day: Σ days · pen mean / days. */
  readonly between: Float64Array;
}

export type WindowsOf = Readonly<Record<ExposureId, WindowMeans>>;

/**
 * Means of every exposure over windows of days. `spells` is a query of the days: columns `row_no` (0 to rows − 1),
 * `flock`, `pen`, `a` (first day) and `b` (first day that no longer counts), one row a spell that the window spent in
 * one pen; spells of a row add up.
 */
export async function readWindows(book: Book, spells: string, rows: number): Promise<WindowsOf> {
  const columns = exposureIds.map((id) => exposures[id].column);
  const table = await book.columns(`
    WITH spell AS (
      SELECT s.row_no, s.flock, s.pen, s.b - s.a AS length, greatest(s.a, f.first_day - 90) AS a, least(s.b, f.today + 1) AS b
      FROM (${spells}) s JOIN exposure.flock f USING (flock)
    ), usual AS (
      SELECT flock, pen, ${columns.map((name) => `avg(${name}) AS ${name}`).join(", ")} FROM exposure.pen_day GROUP BY flock, pen
    ), summed AS (
      SELECT s.row_no, CAST(sum(s.length) AS DOUBLE) AS length,
        ${columns
          .map(
            (name) => `CAST(sum(z.${name}_sum - a.${name}_sum) AS DOUBLE) AS ${name}_sum,
        CAST(sum(z.${name}_days - a.${name}_days) AS DOUBLE) AS ${name}_days,
        CAST(sum((z.${name}_days - a.${name}_days) * u.${name}) AS DOUBLE) AS ${name}_usual`,
          )
          .join(",\n        ")}
      FROM spell s JOIN usual u ON u.flock = s.flock AND u.pen = s.pen
      JOIN exposure.pen_day_sum a ON a.flock = s.flock AND a.pen = s.pen AND a.day = s.a
      JOIN exposure.pen_day_sum z ON z.flock = s.flock AND z.pen = s.pen AND z.day = s.b
      WHERE s.a < s.b GROUP BY s.row_no
    )
    SELECT CAST(row_no AS INTEGER) AS row_no,
      ${columns
        .map(
          (
            name,
          ) => `CASE WHEN ${name}_days * 2 >= length THEN ${name}_sum / nullif(${name}_days, 0) END AS ${name}_mean,
      CASE WHEN ${name}_days * 2 >= length THEN ${name}_usual / nullif(${name}_days, 0) END AS ${name}_between`,
        )
        .join(",\n      ")}
    FROM summed ORDER BY row_no`);
  const at = table.number("row_no");
  const place = (name: string): Float64Array => {
    const placed = new Float64Array(rows).fill(Number.NaN);
    const values = table.number(name);
    for (let k = 0; k < at.length; k++) placed[at[k]!] = values[k]!;
    return placed;
  };
  return Object.fromEntries(
    exposureIds.map((id) => {
      const { column } = exposures[id];
      return [id, { mean: place(`${column}_mean`), between: place(`${column}_between`) }];
    }),
  ) as WindowsOf;
}
