import { quoteName } from "../../src/book/book.ts";
import { exposureName } from "../../src/report/words/associations.ts";
import { tUpperQuantile } from "../../src/statistics/distributions/student-t.ts";
import type { Row } from "../book/table-rows.ts";
import { curveWithBand } from "../plots/curve-with-band.ts";
import { monthLine } from "../plots/month-line.ts";
import { pointCloud } from "../plots/point-cloud.ts";
import { type Choices, whereChosen } from "./choices.ts";
import { groupQuestion } from "./group-question.ts";
import type { Question } from "./question.ts";
import { inUnitOf, type Reader, saysOfLengths } from "./reader.ts";
import { withColumns } from "./with-columns.ts";

export function growthQuestions(choices: Choices, reader: Reader): readonly Question[] {
  return [byGroup(choices, reader), byMonth(choices, reader), ...byExposure(choices, reader)];
}

/** The flock's own model, as on the season pages. */
function byGroup({ flock, season, group }: Choices, reader: Reader): Question {
  return groupQuestion(
    group,
    {
      words: reader.words.growthByGroup,
      table: "growth_summary",
      columns: ["animals", "intervals", "rate_mm_30d"],
      value: "rate_mm_30d",
      where: { flock, season },
      counted: ({ animals }) => String(animals),
      measure: rateOf(reader),
      isLength: true,
    },
    reader,
  );
}

function rateOf({ words, unitName }: Reader): string {
  return words.growth(unitName);
}

function byMonth({ flock, season, pen, line }: Choices, reader: Reader): Question {
  const { asks, says, none } = reader.words.growthByMonth;
  return {
    asks,
    sql: `WITH animal_month AS (
  SELECT date_trunc('month', i.date_to) AS month, i.animal,
    sum(i.growth_mm) / sum(i.days) * 30 AS rate
  FROM results.growth_interval i
  JOIN exposure.season s ON s.flock = i.flock AND i.date_to >= s.from_day AND i.date_to < s.to_day
  LEFT JOIN exposure.animal_line l ON l.flock = i.flock AND l.animal = i.animal
  WHERE i.growth_mm IS NOT NULL AND i.caution IS NULL
  AND ${whereChosen({ "i.flock": flock, "s.season": season, "i.pen": pen, "l.line": line })}
  GROUP BY ALL
)
SELECT strftime(month, '%Y-%m-%d') AS month, CAST(count(*) AS INTEGER) AS animals,
  avg(rate) AS rate_mm_30d, stddev_samp(rate) AS sd
FROM animal_month GROUP BY month ORDER BY month`,
    shape: (answer) =>
      withColumns(answer, {
        mean: ({ animals, rate_mm_30d: rate }) => (Number(animals) >= LEAST_ANIMALS ? Number(rate) : null),
        lo: (row) => meanLimit(row, -1),
        hi: (row) => meanLimit(row, 1),
      }),
    draw: (rows, width) =>
      monthLine({
        rows: inUnitOf(reader, rows, ["mean", "lo", "hi"]),
        width,
        month: "month",
        value: "mean",
        lo: "lo",
        hi: "hi",
        measure: rateOf(reader),
      }),
    says: saysOfLengths(reader, says),
    none,
  };
}

/** A mean of fewer says nothing of a month. Project default. */
const LEAST_ANIMALS = 3;

/** A limit of a mean: Student 1908, Biometrika 6:1-25. */
function meanLimit({ animals, rate_mm_30d: mean, sd }: Row, side: 1 | -1): number | null {
  if (
    typeof mean !== "number" ||
    typeof sd !== "number" ||
    typeof animals !== "number" ||
    animals < LEAST_ANIMALS
  )
    return null;
  return mean + side * tUpperQuantile(0.025, animals - 1) * (sd / Math.sqrt(animals));
}

/** Conditions that an interval of growth keeps its own mean of. */
const intervalColumns = {
  crude_protein: "crude_protein_pct_dm",
  copper_diet: "copper_mg_per_kg_dm",
  wetness: "wetness",
} as const;

function isKept(exposure: string): exposure is keyof typeof intervalColumns {
  return exposure in intervalColumns;
}

function byExposure({ flock, season, pen, line, exposure }: Choices, reader: Reader): readonly Question[] {
  const { words, language } = reader;
  const name = exposureName(exposure, language);
  const { says, ...ofCurve } = words.growthCurve(name);
  const curve: Question = {
    ...ofCurve,
    says: saysOfLengths(reader, says),
    sql: `SELECT x, estimate, lo, hi, p_not_straight
FROM results.dose_response
WHERE ${whereChosen({ flock, outcome: "growth", exposure })}
ORDER BY x`,
    draw: (rows, width) =>
      curveWithBand({
        rows: inUnitOf(reader, rows, ["estimate", "lo", "hi"]),
        width,
        x: "x",
        value: "estimate",
        lo: "lo",
        hi: "hi",
        each: null,
        xMeasure: name,
        measure: words.differenceOf(rateOf(reader)),
        against: 0,
      }),
  };
  if (!isKept(exposure)) return [curve];
  const column = quoteName(intervalColumns[exposure]);
  const ofDots = words.growthDots(name);
  return [
    curve,
    {
      asks: ofDots.asks,
      sql: `SELECT i.animal, i.foot, i.claw, i.pen, strftime(i.date_to, '%Y-%m-%d') AS date_to, i.rate_mm_30d, i.${column} AS condition
FROM results.growth_interval i
JOIN exposure.season s ON s.flock = i.flock AND i.date_to >= s.from_day AND i.date_to < s.to_day
LEFT JOIN exposure.animal_line l ON l.flock = i.flock AND l.animal = i.animal
WHERE i.rate_mm_30d IS NOT NULL AND i.${column} IS NOT NULL AND i.caution IS NULL
  AND ${whereChosen({ "i.flock": flock, "s.season": season, "i.pen": pen, "l.line": line })}
ORDER BY i.animal, i.date_to, i.foot, i.claw`,
      draw: (rows, width) =>
        pointCloud({
          rows: inUnitOf(reader, rows, ["rate_mm_30d"]),
          width,
          x: "condition",
          y: "rate_mm_30d",
          xMeasure: `${name}, ${words.conditionUnits[exposure]}`,
          yMeasure: rateOf(reader),
        }),
      says: saysOfLengths(reader, ofDots.says),
      none: ofDots.none,
    },
  ];
}
