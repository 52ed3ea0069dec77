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
import { withColumns } from "./with-columns.ts";

const RATE = "growth, mm in 30 days";

export function growthQuestions(choices: Choices): readonly Question[] {
  return [byGroup(choices), byMonth(choices), ...byExposure(choices)];
}

/** The flock's own model, as on the season pages. */
function byGroup({ flock, season, group }: Choices): Question {
  return groupQuestion(group, {
    asks: "How fast did horn grow",
    table: "growth_summary",
    columns: ["animals", "intervals", "rate_mm_30d"],
    value: "rate_mm_30d",
    where: { flock, season },
    counted: ({ animals }) => String(animals),
    measure: RATE,
    says: "Mean over each group's own animal-days, net of wear, from the flock's growth model; lines are 95 % limits, animals measured in brackets.",
    none: "No growth could be told for these groups in this season.",
  });
}

function byMonth({ flock, season, pen, line }: Choices): Question {
  return {
    asks: "How did growth go, month by month?",
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
      monthLine({ rows, width, month: "month", value: "mean", lo: "lo", hi: "hi", measure: RATE }),
    says: "Mean of the animals' own rates over intervals that ended in the month, without intervals under a caution; lines are 95 % limits of the mean (Student's t); months with fewer than three animals stand empty. No model stands behind it: pens and animals differ from month to month.",
    none: "No interval of growth ended in this season for this pen and line.",
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

/** Conditions that an interval of growth keeps its own mean of, and what they are counted in. */
const intervalColumns: Readonly<Record<string, { readonly column: string; readonly unit: string }>> = {
  crude_protein: { column: "crude_protein_pct_dm", unit: "% of dry matter" },
  copper_diet: { column: "copper_mg_per_kg_dm", unit: "mg in a kg of dry matter" },
  wetness: { column: "wetness", unit: "score of 0 to 3" },
};

function byExposure({ flock, season, pen, line, exposure }: Choices): readonly Question[] {
  const name = exposureName(exposure, "en");
  const kept = intervalColumns[exposure];
  const curve: Question = {
    asks: `Does growth go with ${name}, within pens?`,
    sql: `SELECT x, estimate, lo, hi, p_not_straight
FROM results.dose_response
WHERE ${whereChosen({ flock, outcome: "growth", exposure })}
ORDER BY x`,
    draw: (rows, width) =>
      curveWithBand({
        rows,
        width,
        x: "x",
        value: "estimate",
        lo: "lo",
        hi: "hi",
        each: null,
        xMeasure: name,
        measure: `difference in ${RATE}`,
        against: 0,
      }),
    says: "Difference from growth at the flock's usual value, over the whole of the records; the band is the 95 % limits. An association: it does not say what a change would do.",
    none: `Too little is known to draw how growth goes with ${name}.`,
  };
  if (kept === undefined) return [curve];
  const column = quoteName(kept.column);
  return [
    curve,
    {
      asks: `What did each interval see of ${name}?`,
      sql: `SELECT i.animal, i.foot, i.claw, i.pen, strftime(i.date_to, '%Y-%m-%d') AS date_to, i.rate_mm_30d, i.${column} AS condition
FROM results.growth_interval i
JOIN exposure.season s ON s.flock = i.flock AND i.date_to >= s.from_day AND i.date_to < s.to_day
LEFT JOIN exposure.animal_line l ON l.flock = i.flock AND l.animal = i.animal
WHERE i.rate_mm_30d IS NOT NULL AND i.${column} IS NOT NULL AND i.caution IS NULL
  AND ${whereChosen({ "i.flock": flock, "s.season": season, "i.pen": pen, "l.line": line })}
ORDER BY i.animal, i.date_to, i.foot, i.claw`,
      draw: (rows, width) =>
        pointCloud({
          rows,
          width,
          x: "condition",
          y: "rate_mm_30d",
          xMeasure: `${name}, ${kept.unit}`,
          yMeasure: RATE,
        }),
      says: "One dot a claw and interval, as measured; dots of one animal and one pen belong together and are no separate evidence.",
      none: `No interval of growth has a known ${name} here.`,
    },
  ];
}
