import { quoteText } from "../book/book.ts";
import { isoDay } from "../records/days.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { type Finding, insertRows } from "./finding.ts";
import { MODELLED } from "./growth-interval.ts";
import { lamenessVariances } from "./lameness-variances.ts";
import { modelFitTable } from "./model-fit.ts";
import { varianceTable } from "./variance.ts";

export const studyBasisTable = defineTable({
  schema: "results",
  name: "study_basis",
  grain: ["flock"],
  columns: {
    flock: text.always("flock"),
    pens: integer.always("pens with goats in them on the flock's day"),
    goats_per_pen: number("median of the goats in them"),
    growth_gap_days: number("median days between two measures of one claw"),
    score_gap_days: number("median days between two scores of one goat"),
    gait_scale: text("the scale of most scores"),
    scores: integer.always("scores on it, those for cause apart"),
    lame_scores: integer.always("of them lame"),
  },
  reads: ["results.growth_interval", "exposure.gait_day", "exposure.animal_pen", "exposure.presence"],
  identities: [{ says: "lame scores are scores", holds: "lame_scores <= scores" }],
});

export type StudyBasisRow = RowOf<typeof studyBasisTable>;

/** What the flock is like for a study on it: its pens, its pace of looking, and where lameness varies. */
export const studyBasis: Finding = {
  tables: [studyBasisTable],
  adds: [varianceTable, modelFitTable],
  async fill({ book, flocks }) {
    for (const flock of flocks) {
      const id = quoteText(flock.id);
      const day = `DATE '${isoDay(flock.today)}'`;
      const [facts] = await book.rows<Omit<StudyBasisRow, "flock">>(`
        WITH housed AS (
          SELECT p.pen, count(DISTINCT p.animal) AS goats FROM exposure.animal_pen p JOIN exposure.presence q USING (flock, animal)
          WHERE p.flock = ${id} AND p.pen IS NOT NULL AND p.from_day <= ${day} AND ${day} < p.to_day AND q.from_day <= ${day} AND ${day} < q.to_day GROUP BY p.pen
        ), main AS (SELECT gait_scale FROM exposure.gait_day WHERE flock = ${id} GROUP BY ALL ORDER BY count(*) DESC, gait_scale LIMIT 1
        ), score AS (SELECT * FROM exposure.gait_day JOIN main USING (gait_scale) WHERE flock = ${id} AND NOT for_cause)
        SELECT (SELECT CAST(count(*) AS INTEGER) FROM housed) AS pens, (SELECT CAST(median(goats) AS DOUBLE) FROM housed) AS goats_per_pen,
          (SELECT CAST(median(days) AS DOUBLE) FROM results.growth_interval WHERE flock = ${id} AND ${MODELLED}) AS growth_gap_days,
          (SELECT CAST(median(gap) AS DOUBLE) FROM score) AS score_gap_days, (SELECT gait_scale FROM main) AS gait_scale,
          (SELECT CAST(count(*) AS INTEGER) FROM score) AS scores, (SELECT CAST(count(*) FILTER (lame) AS INTEGER) FROM score) AS lame_scores`);
      await insertRows(book, studyBasisTable, [{ flock: flock.id, ...facts! }]);
      const lameness = await lamenessVariances(book, flock.id);
      if (lameness === null) continue;
      await insertRows(book, varianceTable, lameness.variances);
      await insertRows(book, modelFitTable, lameness.fits);
    }
  },
};
