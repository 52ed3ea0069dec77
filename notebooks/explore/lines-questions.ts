import { intervalDots } from "../plots/interval-dots.ts";
import { type Choices, whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { withColumns } from "./with-columns.ts";

export function linesQuestions(choices: Choices): readonly Question[] {
  return [
    ofLines(choices, "growth", "Which lines' horn grows faster?", "difference from the flock, mm in 30 days"),
    ofLines(
      choices,
      "lameness",
      "Which lines go lame more often?",
      "difference from the flock, on the scale of the model",
    ),
    ofGoats(choices),
  ];
}

function ofLines({ flock }: Choices, trait: string, asks: string, measure: string): Question {
  return {
    asks,
    sql: `SELECT line, inferred, animals, mean, lo, hi, difference, diff_lo, diff_hi, p_worse_than_flock, goats_needed, visits_needed, caution
FROM results.line
WHERE ${whereChosen({ flock, trait, season: "all" })}
ORDER BY line = 'unknown', line`,
    shape: (answer) =>
      withColumns(answer, {
        label: ({ line, inferred, animals }) => `${line}${inferred ? ", by sire" : ""} (${animals})`,
      }),
    draw: (rows, width) =>
      intervalDots({
        rows,
        width,
        name: "label",
        value: "difference",
        lo: "diff_lo",
        hi: "diff_hi",
        measure,
        against: { value: 0, says: "the flock" },
      }),
    says: "What the line's goats carry, whatever their pens; lines are 95 % limits, animals in brackets. A few animals move a small line far.",
    none: "Too few records with known lines to tell.",
  };
}

function ofGoats({ flock, line }: Choices): Question {
  return {
    asks: `Which goats carry it${line === "" ? "" : `, in the ${line} line`}?`,
    sql: `SELECT animal, line, value, value - 1.959964 * se AS lo, value + 1.959964 * se AS hi, reliability, records, p_worse_than_flock
FROM results.breeding_value
WHERE ${whereChosen({ flock, trait: "growth", line })}
  AND value IS NOT NULL
ORDER BY value DESC
LIMIT 30`,
    draw: (rows, width) =>
      intervalDots({
        rows,
        width,
        name: "animal",
        value: "value",
        lo: "lo",
        hi: "hi",
        measure: "breeding value of growth, mm in 30 days",
        against: { value: 0, says: "the flock" },
      }),
    says: "The thirty highest breeding values of growth; lines are 95 % limits. Where they all overlap, the order says little.",
    none: "Too few records with known parents to tell breeding values.",
  };
}
