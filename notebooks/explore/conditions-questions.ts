import { readCodes, wordCode } from "../../src/records/codes.ts";
import { exposureName } from "../../src/report/words/associations.ts";
import type { Row } from "../book/table-rows.ts";
import { curveWithBand } from "../plots/curve-with-band.ts";
import { intervalDots } from "../plots/interval-dots.ts";
import { type Choices, whereChosen } from "./choices.ts";
import type { Question } from "./question.ts";
import { withColumns } from "./with-columns.ts";

const levels: Readonly<Record<string, string>> = {
  overall: "pens and times together",
  within_pen: "within pens, over time",
  between_pen: "between pens",
  between_flock: "between flocks",
};

const checks: Readonly<Record<string, string>> = {
  main: "",
  unadjusted: "not adjusted",
  future_exposure: "the time after instead",
  past_beside_future: "beside the time after",
  month_fixed: "each month by itself",
};

const measures: Readonly<Record<string, string>> = {
  mm_per_30d: "difference in mm in 30 days",
  odds_ratio: "ratio of odds",
  hazard_ratio: "ratio of rates",
  time_ratio: "ratio of times",
};

const ASSOCIATION =
  "Lines are 95 % limits. An association: it does not say what would happen if the condition were changed.";

export function conditionsQuestions({ flock, outcome, exposure, lag }: Choices): readonly Question[] {
  const name = exposureName(exposure, "en");
  const goesWith = outcome === "growth" ? "growth" : "lameness";
  return [
    {
      asks: `Does ${name} go with ${outcome === "time_to_retrim" ? "how long a trim lasts" : goesWith}?`,
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
              levels[String(level)] ?? String(level),
              check === "other_lag" ? `over ${days} days` : (checks[String(check)] ?? String(check)),
            ]
              .filter((part) => part !== "")
              .join("; "),
        }),
      draw: (rows, width) => effects(rows, width, "label"),
      says: `Within pens: when the pen's own value rose, did its goats' outcome move? Between pens: do pens with more of it differ? What came after cannot have been the cause. ${ASSOCIATION}`,
      none: `${name} changed too little in these records, or was recorded too seldom, to be asked about.`,
    },
    {
      asks: `Over how many days before the score does ${name} count?`,
      sql: `SELECT lag_days, "check", per, effect, lo, hi, effect_kind, animals, pens, "rows"
FROM results.association
WHERE ${whereChosen({ flock, outcome, exposure, level: "within_pen" })}
  AND "check" IN ('main', 'other_lag') AND lag_days IS NOT NULL
ORDER BY lag_days`,
      shape: (answer) =>
        withColumns(answer, {
          label: ({ lag_days: days }) => `${days} days${String(days) === lag ? ", chosen" : ""}`,
        }),
      draw: (rows, width) => effects(rows, width, "label"),
      says: `The condition meaned over so many days before the score, within pens. ${ASSOCIATION}`,
      none: "This outcome is not asked about by days before it.",
    },
    {
      asks: `Is the line straight over the range of ${name}?`,
      sql: `SELECT x, estimate, lo, hi, effect_kind, p_not_straight
FROM results.dose_response
WHERE ${whereChosen({ flock, outcome, exposure })}
ORDER BY x`,
      draw(rows, width) {
        const ratio = rows[0]?.effect_kind !== "mm_per_30d";
        return curveWithBand({
          rows,
          width,
          x: "x",
          value: "estimate",
          lo: "lo",
          hi: "hi",
          each: null,
          xMeasure: name,
          measure: `${measures[String(rows[0]?.effect_kind)] ?? ""}, against the usual value`,
          against: ratio ? 1 : 0,
          ...(ratio ? { scale: "ratio" as const } : {}),
        });
      },
      says: `Against the outcome at the flock's usual value; the band is the 95 % limits. ${ASSOCIATION}`,
      none: `Too little is known to draw a curve over ${name}.`,
    },
  ];
}

function effects(rows: readonly Row[], width: number, name: string): Element | null {
  const kind = String(rows[0]?.effect_kind);
  const ratio = kind !== "mm_per_30d";
  const per = readCodes(String(rows[0]?.per ?? ""))
    .map((one) => wordCode(one, "en"))
    .join("; ");
  return intervalDots({
    rows,
    width,
    name,
    value: "effect",
    lo: "lo",
    hi: "hi",
    measure: `${measures[kind] ?? kind}${per === "" ? "" : `, ${per}`}`,
    against: { value: ratio ? 1 : 0, says: "no difference" },
    ...(ratio ? { scale: "ratio" as const } : {}),
  });
}
