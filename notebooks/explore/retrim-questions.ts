import { groupWords } from "../../src/report/words/groups.ts";
import { curveWithBand } from "../plots/curve-with-band.ts";
import { type Choices, whereChosen } from "./choices.ts";
import { groupQuestion } from "./group-question.ts";
import type { Question } from "./question.ts";
import type { Reader } from "./reader.ts";
import { withColumns } from "./with-columns.ts";

export function retrimQuestions({ flock, group }: Choices, reader: Reader): readonly Question[] {
  const { words, language } = reader;
  const { measure, ...ofGroups } = words.retrimByGroup;
  const curve = words.retrimCurve;
  return [
    groupQuestion(
      group,
      {
        words: ofGroups,
        table: "retrim_summary",
        columns: ["animals", "claws", "spells", "median_days", "days_to_10pct", "days_to_90pct"],
        value: "median_days",
        where: { flock },
        counted: ({ animals }) => String(animals),
        measure,
      },
      reader,
    ),
    {
      asks: curve.asks,
      sql: `SELECT group_kind, group_value, day, not_yet_due, lo, hi, method
FROM results.retrim_curve
WHERE ${whereChosen({ flock, group_kind: group })}
  AND method <> 'turnbull'
ORDER BY group_value, day`,
      shape: (answer) =>
        withColumns(answer, {
          label: (row) => groupWords[language].label(String(row.group_kind), String(row.group_value)),
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
          xMeasure: curve.daysSince,
          measure: curve.measure,
          against: 0.5,
          scale: "share",
        }),
      says: curve.says,
      none: curve.none,
    },
  ];
}
