import type { FlockProfileRow } from "../../findings/flock-profile.ts";
import { NO_BREAK, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { studyWords } from "../words/study.ts";

const TRAITS = ["sex", "age_band", "breed", "purpose", "origin", "line", "pen", "ground"];
const AGES = ["kid", "young", "yearling", "adult", "older", "unknown"];

/** Who the flock is: counts by sex, age, breed, purpose, origin, line, pen and ground. */
export function flockProfileSection({ language, findings, season }: SeasonPageInput): Section | null {
  const words = studyWords[language];
  const { label } = groupWords[language];
  const rows = findings.flockProfile;
  if (rows.length === 0) return null;
  const countOf = (trait: string): number =>
    rows.filter((row) => row.trait === trait).reduce((sum, row) => sum + row.animals, 0);
  const pens = rows.filter((row) => row.trait === "pen" && row.value !== "unknown").length;
  const shown = TRAITS.flatMap((trait): (readonly [string, FlockProfileRow[]])[] => {
    const of = rows.filter((row) => row.trait === trait);
    // a trait that no sheet names tells nothing
    if (of.every((row) => row.value === "unknown")) return [];
    const place = (value: string): number =>
      trait === "age_band" ? AGES.indexOf(value) : value === "unknown" ? 1 : 0;
    return [[trait, [...of].sort((a, b) => place(a.value) - place(b.value) || b.animals - a.animals)]];
  });
  return {
    id: "profile",
    question: words.profileQuestion,
    heading: words.profileHeading(countOf("sex"), pens, season.soFar),
    rests: "",
    table: {
      caption: words.profileQuestion,
      columns: [wordsColumn(columnName("group", language)), wordsColumn(columnName("animals", language))],
      rows: shown.map(([trait, of]) => [
        capital(words.traits[trait] ?? trait),
        of
          .map((row) => {
            const group = label(trait, row.value);
            const shownAs = group === row.value ? (words.values[row.value] ?? row.value) : group;
            return `${shownAs}${NO_BREAK}${whole(row.animals, language)}`;
          })
          .join(", "),
      ]),
    },
  };
}

/** How much of the flock, of each pen and each line was looked at. */
export function coverageSection({ language, findings }: SeasonPageInput): Section | null {
  const words = studyWords[language];
  const { label, wholeFlock } = groupWords[language];
  const all = findings.coverage.find((row) => row.group_kind === "flock");
  if (!all) return null;
  const groups = findings.coverage.filter((row) => row.group_kind !== "flock");
  return {
    id: "coverage",
    question: words.coverageQuestion,
    heading: words.coverageHeading(all.measured, all.scored, all.present),
    rests: "",
    table: {
      caption: words.coverageQuestion,
      columns: [
        wordsColumn(columnName("group", language)),
        ...(["present", "lookedAt", "measured", "scored", "left"] as const).map((id) =>
          numberColumn(columnName(id, language)),
        ),
      ],
      rows: [all, ...groups].map((row) => [
        row.group_kind === "flock"
          ? wholeFlock
          : `${words.traits[row.group_kind] ?? row.group_kind}: ${label(row.group_kind, row.group_value)}`,
        ...[row.present, row.looked_at, row.measured, row.scored, row.departed].map((n) =>
          whole(n, language),
        ),
      ]),
    },
  };
}
