import { quoteText } from "../../src/book/book.ts";
import { groupWords } from "../../src/report/words/groups.ts";
import type { Row } from "../book/table-rows.ts";
import { type IntervalDots, intervalDots } from "../plots/interval-dots.ts";
import { whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { inUnitOf, type Reader, saysOfLengths } from "./reader.ts";
import { withColumns } from "./with-columns.ts";
import type { FigureWords } from "./words/explore-words.ts";

/** A figure of a result table that stands there for the flock and for each of its groups. */
export interface GroupFigure {
  readonly words: FigureWords & { readonly asks: string };
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
  /** Whether the value is a length, kept in millimetres. */
  readonly isLength?: boolean;
}

/** Asks a figure by the chosen kind of group: dots with limits, the whole flock as a line. */
export function groupQuestion(group: string, figure: GroupFigure, reader: Reader): Question {
  const { table, columns, value, where, counted, measure, scale, isLength = false } = figure;
  const { words, language } = reader;
  const { asks, says, none } = figure.words;
  return {
    asks: words.by(asks, words.values[group] ?? group.replace("_", " ")),
    sql: `SELECT group_kind, group_value, ${columns.join(", ")}, lo, hi, caution
FROM results.${table}
WHERE ${whereChosen(where)}
  AND group_kind IN ('flock', ${quoteText(group)})
ORDER BY group_kind = 'flock', group_value = 'unknown', group_value`,
    shape: (answer) =>
      withColumns(answer, {
        label: (row) =>
          `${groupWords[language].label(String(row.group_kind), String(row.group_value))} (${counted(row)})`,
      }),
    draw(given, width) {
      const rows = isLength ? inUnitOf(reader, given, [value, "lo", "hi"]) : given;
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
        against: typeof whole === "number" ? { value: whole, says: words.wholeFlock } : null,
        ...(scale === undefined ? {} : { scale }),
      });
    },
    says: isLength ? saysOfLengths(reader, says) : says,
    none,
  };
}
