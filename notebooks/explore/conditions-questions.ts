import { readCodes, wordCode } from "../../src/records/codes.ts";
import { exposureName } from "../../src/report/words/associations.ts";
import type { Row } from "../book/table-rows.ts";
import { curveWithBand } from "../plots/curve-with-band.ts";
import { intervalDots } from "../plots/interval-dots.ts";
import { type Choices, whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { inUnitOf, type Reader, saysOfLengths } from "./reader.ts";
import { withColumns } from "./with-columns.ts";

export function conditionsQuestions(
  { flock, outcome, exposure, lag }: Choices,
  reader: Reader,
): readonly Question[] {
  const { words, language } = reader;
  const name = exposureName(exposure, language);
  const about = outcome === "growth" ? "growth" : outcome === "time_to_retrim" ? "retrim" : "lameness";
  const main = words.condition(name, words.goesWith[about]);
  const days = words.conditionDays(name);
  const curve = words.conditionCurve(name);
  const says = (text: string): string => (outcome === "growth" ? saysOfLengths(reader, text) : text);
  return [
    {
      asks: main.asks,
      sql: `SELECT level, "check", lag_days, per, effect, lo, hi, effect_kind, p, q, animals, pens, "rows", caution
FROM results.association
WHERE ${whereChosen({ flock, outcome, exposure })}
  AND ("check" IN ('main', 'unadjusted', 'future_exposure', 'past_beside_future', 'month_fixed')
    OR ("check" = 'other_lag' AND lag_days = ${Number(lag) || 0}))
ORDER BY level <> 'within_pen', level, "check" <> 'main', "check"`,
      shape: (answer) =>
        withColumns(answer, {
          label: ({ level, check, lag_days: days }) =>
            [
              words.levels[String(level)] ?? String(level),
              check === "other_lag"
                ? words.overDays(String(days))
                : (words.checks[String(check)] ?? String(check)),
            ]
              .filter((part) => part !== "")
              .join("; "),
        }),
      draw: (rows, width) => effects(rows, width, reader),
      says: says(main.says),
      none: main.none,
    },
    {
      asks: days.asks,
      sql: `SELECT lag_days, "check", per, effect, lo, hi, effect_kind, animals, pens, "rows"
FROM results.association
WHERE ${whereChosen({ flock, outcome, exposure, level: "within_pen" })}
  AND "check" IN ('main', 'other_lag') AND lag_days IS NOT NULL
ORDER BY lag_days`,
      shape: (answer) =>
        withColumns(answer, {
          label: ({ lag_days: over }) => days.label(String(over), String(over) === lag),
        }),
      draw: (rows, width) => effects(rows, width, reader),
      says: says(days.says),
      none: days.none,
    },
    {
      asks: curve.asks,
      sql: `SELECT x, estimate, lo, hi, effect_kind, p_not_straight
FROM results.dose_response
WHERE ${whereChosen({ flock, outcome, exposure })}
ORDER BY x`,
      draw(rows, width) {
        const ratio = rows[0]?.effect_kind !== "mm_per_30d";
        const kind = String(rows[0]?.effect_kind);
        return curveWithBand({
          rows: ratio ? rows : inUnitOf(reader, rows, ["estimate", "lo", "hi"]),
          width,
          x: "x",
          value: "estimate",
          lo: "lo",
          hi: "hi",
          each: null,
          xMeasure: name,
          measure: words.againstUsual(words.effects(reader.unitName)[kind] ?? ""),
          against: ratio ? 1 : 0,
          ...(ratio ? { scale: "ratio" as const } : {}),
        });
      },
      says: says(curve.says),
      none: curve.none,
    },
  ];
}

function effects(rows: readonly Row[], width: number, reader: Reader): Element | null {
  const { words, language, unitName } = reader;
  const kind = String(rows[0]?.effect_kind);
  const ratio = kind !== "mm_per_30d";
  const per = readCodes(String(rows[0]?.per ?? ""))
    .map((one) => wordCode(one, language))
    .join("; ");
  return intervalDots({
    rows: ratio ? rows : inUnitOf(reader, rows, ["effect", "lo", "hi"]),
    width,
    name: "label",
    value: "effect",
    lo: "lo",
    hi: "hi",
    measure: `${words.effects(unitName)[kind] ?? kind}${per === "" ? "" : `, ${per}`}`,
    against: { value: ratio ? 1 : 0, says: words.noDifference },
    ...(ratio ? { scale: "ratio" as const } : {}),
  });
}
