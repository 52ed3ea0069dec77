import type { Book } from "../../book/book.ts";
import { quoteText } from "../../book/book.ts";
import { OTHERS } from "../checks/others-sound.ts";
import { codeInSql } from "../code-in-sql.ts";
import { readGroup } from "../read-group.ts";
import { dayColumn, type HerdKindId } from "../staging.ts";
import { find, soundSoFar, workTable } from "./find.ts";
import { GROUP_MARK } from "./tag-reading.ts";

/** Days for which the pen on an animal's own record holds when no stay names one (project default). */
const PEN_CARRIED_DAYS = 120;

/**
 * Rows that name a group (`all`, `does`, `pen A`, `12-20`) instead of an animal. They are set aside with the
 * number of animals of that group present that day; where the flock says `expand_groups = true`, a row of
 * trims that holds no measure is taken for each of them (`expanded`), except for those with a record of their
 * own that day. Works on `animal_now` and the work tables; false when no row names a group.
 */
export async function expandGroups(book: Book, present: readonly HerdKindId[]): Promise<boolean> {
  await book.run("CREATE OR REPLACE TEMP TABLE expanded (rid BIGINT, animal VARCHAR)");
  if (present.length === 0) return false;
  await book.run(groupRows(present));
  const words = await book.rows<{ words: string }>("SELECT DISTINCT words FROM group_row");
  if (words.length === 0) return false;
  await book.run(groupMeaning(words.map((row) => row.words)));
  await book.run([groupMembers(present), ...present.map(setAside)].join(";\n"));
  if (present.includes("trims")) await book.run(EXPANDED);
  return true;
}

function groupRows(present: readonly HerdKindId[]): string {
  const rows = present.map(
    (kind) => `SELECT '${kind}' AS kind, rid, flock, "${dayColumn(kind)}" AS day, as_written,
      trim(substr(as_written, ${GROUP_MARK.length + 1})) AS words
      FROM ${workTable(kind)} WHERE starts_with(as_written, '${GROUP_MARK}')`,
  );
  return `CREATE OR REPLACE TEMP TABLE group_row AS ${rows.join(" UNION ALL ")}`;
}

function groupMeaning(words: readonly string[]): string {
  const text = (value: string | null): string => (value === null ? "NULL" : quoteText(value));
  const rows = words.flatMap((one) => {
    const group = readGroup(one);
    if (group === null) return [];
    const { range, tags } = group;
    const [before, first, last] =
      range === null ? [null, "NULL", "NULL"] : [range.before, range.first, range.last];
    const each: readonly (string | null)[] = tags ?? [null];
    return each.map(
      (tag) =>
        `(${[text(one), text(group.sex), text(group.pen), text(before), first, last, text(tag)].join(", ")})`,
    );
  });
  return `CREATE OR REPLACE TEMP TABLE group_meaning AS
    SELECT CAST(words AS VARCHAR) AS words, CAST(sex AS VARCHAR) AS sex, CAST(pen AS VARCHAR) AS pen,
      CAST(before AS VARCHAR) AS before, CAST(first AS DOUBLE) AS first, CAST(last AS DOUBLE) AS last, CAST(tag AS VARCHAR) AS tag
    FROM (VALUES ${["(NULL, NULL, NULL, NULL, NULL, NULL, NULL)", ...rows].join(", ")}) AS v (words, sex, pen, before, first, last, tag)
    WHERE words IS NOT NULL`;
}

/** Who of each group was present on the day of its row. */
function groupMembers(present: readonly HerdKindId[]): string {
  const seen = present.map(
    (
      kind,
    ) => `SELECT flock, animal, "${dayColumn(kind)}" AS day, ${kind === "trims" || kind === "gaits" ? "pen" : "CAST(NULL AS VARCHAR)"} AS pen
      FROM ${workTable(kind)} WHERE animal IS NOT NULL AND flock IN (SELECT flock FROM group_row)`,
  );
  return `CREATE OR REPLACE TEMP TABLE group_member AS
   WITH seen AS (${seen.join(" UNION ALL ")}),
   first_seen AS (SELECT flock, animal, min(day) AS day FROM seen GROUP BY flock, animal),
   present AS (
     SELECT a.flock, a.animal, a.sex, coalesce(greatest(a.born_earliest, a.entered), a.entered, a.born_earliest, f.day) AS starts,
       coalesce(a."left", DATE 'infinity') AS ends
     FROM animal_now a LEFT JOIN first_seen f USING (flock, animal)
   ), there AS (
     SELECT DISTINCT g.kind, g.rid, g.day, p.flock, p.animal, p.sex, m.sex AS of_sex, m.pen AS of_pen, m.before, m.first, m.last, m.tag
     FROM group_row g JOIN group_meaning m USING (words) JOIN present p ON p.flock = g.flock AND g.day BETWEEN p.starts AND p.ends
   ), pen_of AS (
     SELECT t.kind, t.rid, t.animal, coalesce(${
       present.includes("stays")
         ? `
         (SELECT any_value(s.pen) FROM work_stays s WHERE s.flock = t.flock AND s.animal = t.animal
            AND t.day >= s."from" AND t.day < coalesce(s."to", DATE 'infinity')),`
         : ""
     }
         (SELECT arg_max(s.pen, s.day) FROM seen s WHERE s.flock = t.flock AND s.animal = t.animal AND s.pen IS NOT NULL
            AND s.day <= t.day AND s.day >= t.day - ${PEN_CARRIED_DAYS})) AS pen
     FROM there t WHERE t.of_pen IS NOT NULL
   )
   SELECT DISTINCT t.kind, t.rid, t.animal, t.flock, t.day FROM there t LEFT JOIN pen_of p USING (kind, rid, animal)
   WHERE (t.of_sex IS NULL OR t.sex = t.of_sex)
     AND (t.of_pen IS NULL OR lower(p.pen) = lower(t.of_pen))
     AND (t.tag IS NULL OR t.tag = t.animal)
     AND (t.first IS NULL OR (starts_with(t.animal, t.before)
       AND try_cast(substr(t.animal, length(t.before) + 1) AS DOUBLE) BETWEEN t.first AND t.last))`;
}

const EXPANDED = `INSERT INTO expanded
   SELECT m.rid, m.animal FROM group_member m
   SEMI JOIN (SELECT rid FROM ${soundSoFar("trims")} WHERE starts_with(as_written, '${GROUP_MARK}')) USING (rid)
   ANTI JOIN (SELECT flock, animal, "date" AS day FROM ${soundSoFar("trims")} WHERE animal IS NOT NULL) own
     ON own.flock = m.flock AND own.animal = m.animal AND own.day = m.day
   WHERE m.kind = 'trims'
   -- two rows may name one animal on one day, such as 'all' and 'pen A'
   QUALIFY row_number() OVER (PARTITION BY m.flock, m.animal, m.day ORDER BY m.rid) = 1`;

/** Group rows that are not taken, with how many of the group were present. */
function setAside(kind: HerdKindId): string {
  const taken =
    kind === "trims"
      ? `coalesce(f.expand_groups, false) AND n.present > 0 AND w.toe_before_mm IS NULL AND w.toe_after_mm IS NULL
         AND w.overhang_before_mm IS NULL AND w.overhang_after_mm IS NULL AND w.mark_mm IS NULL AND w.overgrowth IS NULL
         AND w.bled IS NULL`
      : "false";
  const group = codeInSql("group_of_animals", "coalesce(n.present, 0)");
  const reason =
    kind === "gaits"
      ? `CASE WHEN regexp_matches(lower(g.words), '${OTHERS}') THEN ${codeInSql("others_sound_in_words")} ELSE ${group} END`
      : group;
  return find(
    kind,
    "tag",
    `SELECT w.rid, 'animal' AS column_name, g.words AS value, ${reason} AS reason
     FROM group_row g JOIN ${workTable(kind)} w ON w.rid = g.rid LEFT JOIN flock_now f ON f.flock = g.flock
     LEFT JOIN (SELECT kind, rid, count(DISTINCT animal) AS present FROM group_member GROUP BY kind, rid) n
       ON n.kind = g.kind AND n.rid = g.rid
     WHERE g.kind = '${kind}' AND NOT coalesce(${taken}, false)`,
  );
}
