import { intervalDots } from "../plots/interval-dots.ts";
import { type Choices, whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { inUnitOf, type Reader, saysOfLengths } from "./reader.ts";
import { withColumns } from "./with-columns.ts";

export function linesQuestions(choices: Choices, reader: Reader): readonly Question[] {
  const { linesOfGrowth: growth, linesOfLameness: lameness } = reader.words;
  return [
    ofLines(choices, "growth", { ...growth, measure: growth.measure(reader.unitName) }, reader),
    ofLines(choices, "lameness", lameness, reader),
    ofGoats(choices, reader),
  ];
}

function ofLines(
  { flock }: Choices,
  trait: "growth" | "lameness",
  { asks, measure }: { readonly asks: string; readonly measure: string },
  reader: Reader,
): Question {
  const { words } = reader;
  return {
    asks,
    sql: `SELECT line, inferred, animals, mean, lo, hi, difference, diff_lo, diff_hi, p_worse_than_flock, goats_needed, visits_needed, caution
FROM results.line
WHERE ${whereChosen({ flock, trait, season: "all" })}
ORDER BY line = 'unknown', line`,
    shape: (answer) =>
      withColumns(answer, {
        label: ({ line, inferred, animals }) => `${line}${inferred ? `, ${words.bySire}` : ""} (${animals})`,
      }),
    draw: (rows, width) =>
      intervalDots({
        rows: trait === "growth" ? inUnitOf(reader, rows, ["difference", "diff_lo", "diff_hi"]) : rows,
        width,
        name: "label",
        value: "difference",
        lo: "diff_lo",
        hi: "diff_hi",
        measure,
        against: { value: 0, says: words.theFlock },
      }),
    says: trait === "growth" ? saysOfLengths(reader, words.lines.says) : words.lines.says,
    none: words.lines.none,
  };
}

function ofGoats({ flock, line }: Choices, reader: Reader): Question {
  const { words, unitName } = reader;
  const { asks, measure, says, none } = words.goats(line);
  return {
    asks,
    sql: `SELECT animal, line, value, value - 1.959964 * se AS lo, value + 1.959964 * se AS hi, reliability, records, p_worse_than_flock
FROM results.breeding_value
WHERE ${whereChosen({ flock, trait: "growth", line })}
  AND value IS NOT NULL
ORDER BY value DESC
LIMIT 30`,
    draw: (rows, width) =>
      intervalDots({
        rows: inUnitOf(reader, rows, ["value", "lo", "hi"]),
        width,
        name: "animal",
        value: "value",
        lo: "lo",
        hi: "hi",
        measure: measure(unitName),
        against: { value: 0, says: words.theFlock },
      }),
    says: saysOfLengths(reader, says),
    none,
  };
}
