import { quoteText } from "../../src/book/book.ts";
import { groupWords } from "../../src/report/words/groups.ts";
import { curveWithBand } from "../plots/curve-with-band.ts";
import { intervalDots } from "../plots/interval-dots.ts";
import { type Choices, whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { withColumns } from "./with-columns.ts";

export function retrimQuestions({ flock, group }: Choices): readonly Question[] {
  return [
    {
      asks: `How long does a trim last, by ${group.replace("_", " ")}?`,
      sql: `SELECT group_kind, group_value, animals, claws, spells, median_days, lo, hi, days_to_10pct, days_to_90pct, caution
FROM results.retrim_summary
WHERE ${whereChosen({ flock })}
  AND group_kind IN ('flock', ${quoteText(group)})
ORDER BY group_kind = 'flock', group_value = 'unknown', group_value`,
      shape: (answer) =>
        withColumns(answer, {
          label: (row) =>
            `${groupWords.en.label(String(row.group_kind), String(row.group_value))} (${row.animals})`,
        }),
      draw(rows, width) {
        const whole = rows.find((row) => row.group_kind === "flock")?.median_days;
        return intervalDots({
          rows: rows.filter((row) => row.group_kind !== "flock"),
          width,
          name: "label",
          value: "median_days",
          lo: "lo",
          hi: "hi",
          measure: "days until half of the claws are over the limit",
          against: typeof whole === "number" ? { value: whole, says: "whole flock" } : null,
        });
      },
      says: "Days until half of the trimmed claws stand over the flock's own retrim limit; lines are 95 % limits, animals in brackets.",
      none: "Too few claws were looked at after a trim to tell how long it lasts for these groups.",
    },
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
