import { wordCodes } from "../../records/codes.ts";
import { type LesionId, lesionKinds } from "../../records/lesion-kinds.ts";
import { percentWithLimits, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";

/** What was found on the feet that were examined. */
export function lesionSection({ language, findings }: SeasonPageInput): Section {
  const words = findingWords[language];
  const rows = findings.lesion
    .filter((row) => row.group_kind === "flock")
    .sort((a, b) => b.affected_animals - a.affected_animals);
  const first = rows[0];
  if (!first) return { id: "lesions", question: words.lesionQuestion, heading: words.lesionNone, rests: "" };
  const name = (lesion: string): string =>
    language === "es" ? (lesionKinds[lesion as LesionId].words.es[0] ?? lesion) : lesion;
  const clean = rows.every((row) => row.affected_animals === 0);
  const heading = clean
    ? words.lesionClean(first.examined_animals)
    : words.lesionHeading(name(first.lesion), first.affected_animals, first.examined_animals);
  return {
    id: "lesions",
    question: words.lesionQuestion,
    heading,
    rests: words.rests(first.examined_animals, whole(first.examined_animals, language), "examined"),
    table: {
      caption: words.lesionQuestion,
      columns: [
        { name: words.columns.lesion, numeric: false },
        { name: words.columns.examined, numeric: true },
        { name: words.columns.affected, numeric: true },
        { name: words.columns.share, numeric: true },
        { name: words.columns.note, numeric: false },
      ],
      rows: rows.map((row) => [
        name(row.lesion),
        whole(row.examined_animals, language),
        whole(row.affected_animals, language),
        row.prevalence === null
          ? ""
          : percentWithLimits({ value: row.prevalence, lo: row.lo, hi: row.hi }, language),
        wordCodes(row.caution, language),
      ]),
    },
    answer: { sentence: `${heading}.`, strength: 40 },
  };
}
