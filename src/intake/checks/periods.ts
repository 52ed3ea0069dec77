import { quoteName } from "../../book/book.ts";
import type { SetAsideCode } from "../../records/codes.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, rowLabel, soundSoFar, workTable } from "../derive/find.ts";
import { columnNames, type HerdKindId } from "../staging.ts";

/** What may hold only one thing at a time: an animal's pen; a pen's ration, each feed of it, each mineral. */
export const periodKeys: Partial<Record<HerdKindId, readonly string[]>> = {
  stays: ["flock", "animal"],
  rations: ["flock", "pen"],
  feeds: ["flock", "pen", "feed"],
  minerals: ["flock", "pen", "product"],
};

/** A period's first day that no longer counts is not after its first day. */
export function endBeforeStart(kind: HerdKindId): readonly string[] {
  const names = columnNames(kind);
  if (!names.includes("from") || !names.includes("to")) return [];
  return [
    find(
      kind,
      "period",
      `SELECT rid, 'to' AS column_name, "to" AS value, 'ends_before_it_starts' AS reason
       FROM ${workTable(kind)} WHERE "to" <= "from"`,
    ),
  ];
}

/**
 * Periods that end after the next of the same animal, pen, feed or product has started: both are found. One
 * without an end lasts until the next starts, and so crosses nothing.
 */
export function overlapChecks(kind: HerdKindId): readonly string[] {
  const key = periodKeys[kind];
  if (key === undefined) return [];
  const reason: SetAsideCode = kind === "stays" ? "overlapping_stay" : "overlapping_period";
  const partition = `PARTITION BY ${key.map(quoteName).join(", ")} ORDER BY "from", ord, row_no, part`;
  const earlier = `OVER (${partition} ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING)`;
  return [
    find(
      kind,
      "period",
      `WITH beside AS (
         SELECT rid, ord, "from", "to", max("to") ${earlier} AS end_before,
           arg_max({'ord': ord, 'row_no': row_no}, "to") ${earlier} AS before,
           lead("from") OVER (${partition}) AS start_after,
           lead({'ord': ord, 'row_no': row_no}) OVER (${partition}) AS after
         FROM ${soundSoFar(kind)}
       ), crossing AS (
         SELECT rid, ord, "from", CASE WHEN end_before > "from" THEN before ELSE after END AS other
         FROM beside WHERE end_before > "from" OR "to" > start_after
       )
       SELECT rid, 'from' AS column_name, "from" AS value,
         ${codeInSql(reason, rowLabel("x.ord", "x.other.row_no", "c"))} AS reason
       FROM crossing x JOIN current c ON c.ord = x.other.ord`,
    ),
  ];
}
