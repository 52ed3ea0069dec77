import type { Book } from "../book/book.ts";
import { boundChecks } from "./checks/bounds.ts";
import { countChecks } from "./checks/counts.ts";
import { dayChecks } from "./checks/days.ts";
import { flockChecks } from "./checks/flocks.ts";
import { gaitChecks } from "./checks/gaits.ts";
import { checkGrowth } from "./checks/growth.ts";
import { endBeforeStart, overlapChecks } from "./checks/periods.ts";
import { awayStatement, presenceChecks } from "./checks/presence.ts";
import { trimChecks } from "./checks/trims.ts";
import { checkTwins } from "./checks/twins.ts";
import { codeInSql } from "./code-in-sql.ts";
import { animalCellChecks, animalStatements, workAnimals } from "./derive/animals.ts";
import { currentSources, kindsPresent, settingStatements } from "./derive/current.ts";
import { find } from "./derive/find.ts";
import { expandGroups } from "./derive/groups.ts";
import { nearestTags } from "./derive/nearest-tags.ts";
import { readPedigree } from "./derive/pedigree.ts";
import { GROUP_MARK } from "./derive/tag-reading.ts";
import { tagOfTwo, tagOwnersFromTags, workTags } from "./derive/tags.ts";
import {
  animalsFromRecords,
  readTagsOfRecords,
  scaleOfSource,
  workTableStatement,
} from "./derive/work-tables.ts";
import { asideStatements } from "./derive/write-aside.ts";
import { emptyHerd, herdStatements } from "./derive/write-herd.ts";
import { writeSums } from "./derive/write-sums.ts";
import { animalKindIds, dayColumn, type HerdKindId, herdKindIds } from "./staging.ts";

/**
 * Works out the herd, what is set aside, and the sums from everything that the readers have left in the book,
 * wholly and anew. The same readings give the same tables, in whatever order they came. Needs a running
 * transaction; throws when the records do not add up.
 */
export async function deriveHerd(book: Book): Promise<void> {
  // statements go to the engine together, since each call costs more than most of them do
  const run = async (statements: readonly string[]): Promise<void> => {
    if (statements.length > 0) await book.run(statements.join(";\n"));
  };
  await book.run(currentSources);
  const present = await kindsPresent(book);
  await run(settingStatements(present));
  const here = others.filter((kind) => present.has(kind));
  const ofAnimals = animalKindIds.filter((kind) => present.has(kind));
  await run([workAnimals, ...flockChecks("animals"), ...animalCellChecks, ...animalStatements]);
  await run(workTags);
  if (present.has("tags")) {
    await run(tagChecks);
    await checkTwins(book, "tags");
  }
  await run(tagOwnersFromTags);
  await run(readTagsOfRecords(ofAnimals));
  if (present.has("gaits")) await book.run(scaleOfSource);
  await run(here.map(workTableStatement));
  await run(here.flatMap((kind) => [...flockChecks(kind), ...dayChecks(kind)]));
  if (ofAnimals.length > 0) await book.run(animalsFromRecords(ofAnimals));
  await book.run(awayStatement);
  await run(ofAnimals.flatMap((kind) => [tagOfTwo(kind), ...presenceChecks(kind), ...unknownOf(kind)]));
  await run(here.flatMap((kind) => [...boundChecks(kind), ...endBeforeStart(kind), ...ownChecks(kind)]));
  const groups = await expandGroups(book, ofAnimals);
  for (const kind of here) await checkTwins(book, kind);
  await run(here.flatMap(overlapChecks));
  if (present.has("trims")) await checkGrowth(book);
  await tellNearest(
    book,
    unknownTags.filter((kind) => present.has(kind)),
  );
  await readPedigree(book);
  await run(parentsInAside);
  await run([...emptyHerd, ...herdStatements(present, groups)]);
  await run(asideStatements(present, await kindsFound(book)));
  await writeSums(book, present);
  await run(["current", ...temporary].map((name) => `DROP TABLE IF EXISTS temp.${name}`));
}

/** Kinds of which the checks found anything wrong. */
async function kindsFound(book: Book): Promise<readonly HerdKindId[]> {
  const rows = await book.rows<{ kind: HerdKindId }>("SELECT DISTINCT kind FROM found ORDER BY kind");
  return rows.map(({ kind }) => kind);
}

/** Checks that only one kind needs. */
function ownChecks(kind: HerdKindId): readonly string[] {
  if (kind === "trims") return trimChecks;
  if (kind === "gaits") return gaitChecks;
  return countChecks(kind);
}

const others = herdKindIds.filter((kind) => kind !== "animals" && kind !== "tags");

/** Records of tags that no animal has; with which tags these are near is told later. */
function unknownOf(kind: HerdKindId): readonly string[] {
  return [
    find(
      kind,
      "tag",
      `SELECT rid, 'animal' AS column_name, as_written AS value, 'tag_unknown' AS reason FROM work_${kind}
       WHERE as_written IS NOT NULL AND animal IS NULL AND first_owner IS NULL AND NOT starts_with(as_written, '${GROUP_MARK}')`,
    ),
  ];
}

const tagChecks = [...flockChecks("tags"), tagOfTwo("tags"), ...endBeforeStart("tags"), ...unknownOf("tags")];

const unknownTags = ["tags" as const, ...animalKindIds];

/** Gathers every unknown tag once, and tells with the records which known tags are near. */
async function tellNearest(book: Book, present: readonly HerdKindId[]): Promise<void> {
  const records = present.map(
    (kind) => `SELECT w.flock, w.as_written AS tag, w."${dayColumn(kind)}" AS day FROM work_${kind} w
      SEMI JOIN (SELECT rid FROM found WHERE kind = '${kind}' AND reason = 'tag_unknown') USING (rid) UNION ALL `,
  );
  await book.run(`CREATE OR REPLACE TEMP TABLE unlisted AS
    SELECT flock, tag, CAST(count(*) AS INTEGER) AS records, min(day) AS first_day, max(day) AS last_day FROM (${records.join("")}
      SELECT CAST(NULL AS VARCHAR) AS flock, CAST(NULL AS VARCHAR) AS tag, CAST(NULL AS DATE) AS day WHERE false) GROUP BY flock, tag`);
  const [any] = await book.rows("SELECT tag FROM unlisted LIMIT 1");
  if (any === undefined) {
    await book.run("CREATE OR REPLACE TEMP TABLE near_tag (flock VARCHAR, tag VARCHAR, nearest VARCHAR)");
    return;
  }
  await book.run(nearestTags);
  for (const kind of present) {
    await book.run(`UPDATE found SET reason = ${codeInSql("tag_unknown", "n.nearest")}
      FROM (SELECT w.rid, coalesce(t.nearest, '–') AS nearest FROM work_${kind} w
        LEFT JOIN near_tag t ON t.flock = w.flock AND t.tag = w.as_written) n
      WHERE found.kind = '${kind}' AND found.reason = 'tag_unknown' AND n.rid = found.rid`);
  }
}

const parentsInAside: readonly string[] = (["sire", "dam"] as const).map((role) =>
  find(
    "animals",
    "value",
    `SELECT r.rid, '${role}' AS column_name, r.${role} AS value, w.reason FROM animal_row r
     JOIN parent_wrong w ON w.flock = r.flock AND w.animal = r.animal AND w.role = '${role}' AND w.written = r.${role}
     ANTI JOIN (SELECT rid FROM found WHERE kind = 'animals' AND loses = 'record') f ON f.rid = r.rid`,
    "cell",
  ),
);

const temporary = [
  ...herdKindIds.map((kind) => `work_${kind}`),
  "same_now",
  "flock_now",
  "today",
  "found",
  "repeated",
  "animal_row",
  "animal_differs",
  "animal_now",
  "tag_owner",
  "tag_day",
  "dated_tag",
  "tag_asked",
  "doubtful_claw",
  "tag_candidate",
  "tag_read",
  "scale_of_source",
  "away",
  "group_row",
  "group_meaning",
  "group_member",
  "expanded",
  "grain_key",
  "grain_twice",
  "twin",
  "twins",
  "unlisted",
  "near_tag",
  "parent_written",
  "parent_now",
  "parent_wrong",
  "link",
  "in_herd",
  "row_lost",
  "row_all",
];
