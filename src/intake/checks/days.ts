import { quoteName } from "../../book/book.ts";
import { find, workTable } from "../derive/find.ts";
import { dayColumn, type HerdKindId } from "../staging.ts";

/** No record of a flock kept today is older (project default): such a day is a slip of the year. */
const FIRST_DAY = "DATE '1960-01-01'";

/** Periods may be planned ahead, a year at most (project default); things done may not. */
const PLANNED_DAYS = 366;

/** Days that cannot be: after the latest ingest, or long before any record. */
export function dayChecks(kind: HerdKindId): readonly string[] {
  const column = dayColumn(kind);
  if (column === null) return [];
  const name = quoteName(column);
  const ahead = column === "date" ? 0 : PLANNED_DAYS;
  const select = (reason: string, wrong: string): string =>
    `SELECT rid, '${column}' AS column_name, ${name} AS value, '${reason}' AS reason FROM ${workTable(kind)} WHERE ${wrong}`;
  return [
    find(kind, "day", select("in_the_future", `${name} > (SELECT day + ${ahead} FROM today)`)),
    find(kind, "day", select("before_records", `${name} < ${FIRST_DAY}`)),
  ];
}
