import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { wilsonInterval } from "../statistics/proportions/proportion-interval.ts";
import { type Finding, insertRows } from "./finding.ts";

export const lesionTable = defineTable({
  schema: "results",
  name: "lesion",
  grain: ["flock", "season", "group_kind", "group_value", "lesion"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season, or all"),
    group_kind: text.always("flock, pen, ground, line, age_band, class, arm"),
    group_value: text.always("which of them"),
    lesion: text.always("lesion, of the closed list"),
    examined_animals: integer.always(
      "animals examined: with any lesion row, 'none' included, or a lesion of this kind",
    ),
    affected_animals: integer.always("animals with this lesion found"),
    prevalence: number("affected over examined"),
    lo: number("lower 95 % limit, Wilson"),
    hi: number("upper 95 % limit, Wilson"),
    suspected: integer.always("animals with this lesion only suspected"),
    unmapped_rows: integer.always("rows of 'other' whose words the list does not know"),
    caution: text("codes"),
  },
  reads: ["herd.lesion", "exposure.animal_day_group", "exposure.season"],
  identities: [{ says: "no more affected than examined", holds: "affected_animals <= examined_animals" }],
});

export type LesionRow = RowOf<typeof lesionTable>;

const LEAST_EXAMINED = 5;

/**
 * How many of the animals examined had each lesion. A goat that nobody examined is not clean: it is not counted. A foot
 * seen healed was examined and has it no more.
 */
export const lesion: Finding = {
  tables: [lesionTable],
  async fill({ book }) {
    const rows = await book.rows<Omit<LesionRow, "prevalence" | "lo" | "hi" | "caution">>(`
      WITH seen AS (
        SELECT l.flock, s.season, g.group_kind, g.group_value, l.animal, CASE WHEN l.status = 'healed' THEN 'none' ELSE l.lesion END AS lesion,
          coalesce(l.suspected, FALSE) AS suspected,
          l.lesion = 'other' AND l.status IS DISTINCT FROM 'healed' AND l.lesion_text IS NOT NULL AS unmapped
        FROM herd.lesion l
        JOIN exposure.animal_day_group g ON g.flock = l.flock AND g.animal = l.animal AND g.day = l."date"
        JOIN exposure.season s ON s.flock = l.flock AND l."date" >= s.from_day AND l."date" < s.to_day
      ), examined AS (
        SELECT flock, season, group_kind, group_value, count(DISTINCT animal) AS animals FROM seen GROUP BY ALL
      )
      SELECT s.flock, s.season, s.group_kind, s.group_value, s.lesion, CAST(any_value(e.animals) AS INTEGER) AS examined_animals,
        CAST(count(DISTINCT s.animal) FILTER (NOT s.suspected) AS INTEGER) AS affected_animals,
        CAST(count(DISTINCT s.animal) - count(DISTINCT s.animal) FILTER (NOT s.suspected) AS INTEGER) AS suspected,
        CAST(count(*) FILTER (s.unmapped) AS INTEGER) AS unmapped_rows
      FROM seen s JOIN examined e USING (flock, season, group_kind, group_value)
      WHERE s.lesion <> 'none'
      GROUP BY s.flock, s.season, s.group_kind, s.group_value, s.lesion ORDER BY ALL`);
    await insertRows(
      book,
      lesionTable,
      rows.map((row) => {
        const interval =
          row.examined_animals >= LEAST_EXAMINED
            ? wilsonInterval(row.affected_animals, row.examined_animals)
            : undefined;
        return {
          ...row,
          prevalence: interval?.estimate ?? null,
          lo: interval?.lo ?? null,
          hi: interval?.hi ?? null,
          caution: joinCodes([
            interval ? null : code("too_few_animals", row.examined_animals, LEAST_EXAMINED),
          ]),
        };
      }),
    );
  },
};
