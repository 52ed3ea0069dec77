import { wilsonInterval } from "../../src/statistics/proportions/proportion-interval.ts";
import type { Row } from "../book/table-rows.ts";
import { monthLine } from "../plots/month-line.ts";
import { type Choices, whereChosen } from "./choices.ts";
import { groupQuestion } from "./group-question.ts";
import type { Question } from "./question.ts";
import type { Reader } from "./reader.ts";
import { withColumns } from "./with-columns.ts";

export function lamenessQuestions(choices: Choices, reader: Reader): readonly Question[] {
  return [byGroup(choices, reader), byMonth(choices, reader)];
}

/** A group scored on two scales has a row for each: they share no figure. */
function byGroup({ flock, season, group }: Choices, reader: Reader): Question {
  const { counted, measure, ...words } = reader.words.lameByGroup;
  return groupQuestion(
    group,
    {
      words,
      table: "lameness",
      columns: ["gait_scale", "lame_from", "scored_animals", "lame_animals", "prevalence"],
      value: "prevalence",
      where: { flock, season },
      counted: (row) => counted(String(row.lame_animals), String(row.scored_animals), String(row.gait_scale)),
      measure,
      scale: "share",
    },
    reader,
  );
}

function byMonth({ flock, season, pen, line }: Choices, { words }: Reader): Question {
  const { measure, ...says } = words.lameByMonth;
  return {
    ...says,
    sql: `WITH main_scale AS (
  SELECT flock, gait_scale FROM exposure.gait_day GROUP BY flock, gait_scale
  QUALIFY row_number() OVER (PARTITION BY flock ORDER BY count(*) DESC, gait_scale) = 1
), animal_month AS (
  SELECT date_trunc('month', g.day) AS month, g.animal, bool_or(g.lame) AS lame
  FROM exposure.gait_day g
  JOIN main_scale m ON m.flock = g.flock AND m.gait_scale = g.gait_scale
  JOIN exposure.season s ON s.flock = g.flock AND g.day >= s.from_day AND g.day < s.to_day
  LEFT JOIN exposure.animal_line l ON l.flock = g.flock AND l.animal = g.animal
  WHERE g.lame IS NOT NULL AND NOT coalesce(g.for_cause, false)
  AND ${whereChosen({ "g.flock": flock, "s.season": season, "g.pen": pen, "l.line": line })}
  GROUP BY ALL
)
SELECT strftime(month, '%Y-%m-%d') AS month, CAST(count(*) AS INTEGER) AS scored_animals,
  CAST(count(*) FILTER (lame) AS INTEGER) AS lame_animals
FROM animal_month GROUP BY month ORDER BY month`,
    shape: (answer) =>
      withColumns(answer, {
        share: (row) => share(row)?.estimate ?? null,
        lo: (row) => share(row)?.lo ?? null,
        hi: (row) => share(row)?.hi ?? null,
      }),
    draw: (rows, width) =>
      monthLine({
        rows,
        width,
        month: "month",
        value: "share",
        lo: "lo",
        hi: "hi",
        measure,
        scale: "share",
      }),
  };
}

function share({ scored_animals: scored, lame_animals: lame }: Row) {
  return typeof scored === "number" && typeof lame === "number" ? wilsonInterval(lame, scored) : undefined;
}
