import { quoteText } from "../../src/book/book.ts";
import { groupWords } from "../../src/report/words/groups.ts";
import type { Row } from "../book/table-rows.ts";
import { type IntervalDots, intervalDots } from "../plots/interval-dots.ts";
import { whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { withColumns } from "./with-columns.ts";

/** A figure of a result table that stands there for the flock and for each of its groups. */
export interface GroupFigure {
  readonly asks: string;
  readonly table: string;
  /** Columns beside the group, its limits and the caution. */
  readonly columns: readonly string[];
  /** The column that is drawn. */
  readonly value: string;
  readonly where: Readonly<Record<string, string>>;
  /** What a group's dot rests on, in brackets after its name. */
  readonly counted: (row: Row) => string;
  readonly measure: string;
  readonly scale?: NonNullable<IntervalDots["scale"]>;
  readonly says: string;
  readonly none: string;
}

/** Asks a figure by the chosen kind of group: dots with limits, the whole flock as a line. */
export function groupQuestion(group: string, figure: GroupFigure): Question {
  const { table, columns, value, where, counted, measure, scale, says, none } = figure;
  return {
    asks: `${figure.asks}, by ${group.replace("_", " ")}?`,
    sql: `SELECT group_kind, group_value, ${columns.join(", ")}, lo, hi, caution
FROM results.${table}
WHERE ${whereChosen(where)}
  AND group_kind IN ('flock', ${quoteText(group)})
ORDER BY group_kind = 'flock', group_value = 'unknown', group_value`,
    shape: (answer) =>
      withColumns(answer, {
        label: (row) =>
          `${groupWords.en.label(String(row.group_kind), String(row.group_value))} (${counted(row)})`,
      }),
    draw(rows, width) {
      const flocks = rows.filter((row) => row.group_kind === "flock");
      const whole = flocks.length === 1 ? flocks[0]![value] : null;
      return intervalDots({
        rows: rows.filter((row) => row.group_kind !== "flock"),
        width,
        name: "label",
        value,
        lo: "lo",
        hi: "hi",
        measure,
        against: typeof whole === "number" ? { value: whole, says: "whole flock" } : null,
        ...(scale === undefined ? {} : { scale }),
      });
    },
    says,
    none,
  };
}
