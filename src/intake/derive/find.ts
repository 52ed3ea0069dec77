import { quoteText } from "../../book/book.ts";
import type { HerdKindId } from "../staging.ts";

/** Temporary table of a kind's current records, one row each, numbered by `rid`. */
export function workTable(kind: HerdKindId): string {
  return `work_${kind}`;
}

/**
 * Order in which checks run and their reasons are told; records that an earlier step found wrong are left
 * out where a later step holds records against each other.
 */
const steps = {
  flock: 0,
  tag: 1,
  day: 2,
  presence: 3,
  value: 4,
  period: 5,
  twin: 6,
  growth: 7,
} as const;

export type Step = keyof typeof steps;

/**
 * Statement that notes what a check found. `select` gives rid, column_name, value and reason (texts or
 * null), one row for each record at most.
 */
export function find(
  kind: HerdKindId,
  step: Step,
  select: string,
  loses: "record" | "cell" = "record",
): string {
  return `INSERT INTO found
    SELECT ${quoteText(kind)}, rid, ${steps[step]}, '${loses}', column_name, regexp_replace(CAST(value AS VARCHAR), '^(-?\\d+)\\.0$', '\\1'), reason FROM (${select})`;
}

/** SQL table of the records of a kind that no check has found wrong so far. */
export function soundSoFar(kind: HerdKindId): string {
  return `(SELECT * FROM ${workTable(kind)}
    ANTI JOIN (SELECT rid FROM found WHERE kind = ${quoteText(kind)} AND loses = 'record') USING (rid)
    ANTI JOIN (SELECT rid FROM repeated WHERE kind = ${quoteText(kind)}) USING (rid))`;
}

/**
 * SQL text that names another row to a reader: its number, and its file where it stands in another one.
 * `file` is an SQL name of the row of `current` that the other row comes from.
 */
export function rowLabel(ord: string, otherRowNo: string, file: string): string {
  return `CAST(${otherRowNo} AS VARCHAR) || CASE WHEN ${file}.ord = ${ord} THEN ''
    ELSE ', ' || ${file}.file || coalesce(' ' || ${file}.worksheet, '') END`;
}
