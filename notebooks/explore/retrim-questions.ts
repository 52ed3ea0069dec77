import { groupWords } from "../../src/report/words/groups.ts";
import { curveWithBand } from "../plots/curve-with-band.ts";
import { type Choices, whereChosen } from "./choices.ts";
import { groupQuestion } from "./group-question.ts";
import type { Question } from "./question.ts";
import { withColumns } from "./with-columns.ts";

export function retrimQuestions({ flock, group }: Choices): readonly Question[] {
  return [
    groupQuestion(group, {
      asks: "How long does a trim last",
      table: "retrim_summary",
      columns: ["animals", "claws", "spells", "median_days", "days_to_10pct", "days_to_90pct"],
      value: "median_days",
      where: { flock },
      counted: ({ animals }) => String(animals),
      measure: "days until half of the claws are over the limit",
      says: "Days until half of the trimmed claws stand over the flock's own retrim limit; lines are 95 % limits, animals in brackets.",
      none: "Too few claws were looked at after a trim to tell how long it lasts for these groups.",
    }),
    {
      asks: "How many claws are not yet due, day by day?",
      sql: `SELECT group_kind, group_value, day, not_yet_due, lo, hi, method
FROM results.retrim_curve
WHERE ${whereChosen({ flock, group_kind: group })}
  AND method <> 'turnbull'
ORDER BY group_value, day`,
      shape: (answer) =>
        withColumns(answer, {
          label: (row) => groupWords.en.label(String(row.group_kind), String(row.group_value)),
        }),
      draw: (rows, width) =>
        curveWithBand({
          rows,
          width,
          x: "day",
          value: "not_yet_due",
          lo: "lo",
          hi: "hi",
          each: "label",
          xMeasure: "days since the trim",
          measure: "claws not yet due",
          against: 0.5,
          scale: "share",
        }),
      says: "Share of claws not yet over the limit, from the family of curves that fits best; the band is the 95 % limits, the broken line marks half.",
      none: "Too few claws were looked at after a trim to draw a curve for these groups.",
    },
  ];
}
