import type { LesionRow } from "../../findings/lesion.ts";
import { wordCodes } from "../../records/codes.ts";
import type { Language } from "../../records/language.ts";
import { type LesionId, lesionKinds } from "../../records/lesion-kinds.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { percentWithLimits, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { feetWords } from "../words/feet.ts";

/** A lesion in the reader's words. */
export function lesionName(lesion: string, language: Language): string {
  const kind = lesionKinds[lesion as LesionId];
  return kind ? (kind.words[language][0] ?? lesion) : lesion;
}

/** What was found on the feet that were examined, the most common first. */
export function lesionSection({ language, findings }: SeasonPageInput): Section {
  const words = feetWords[language];
  const rows = findings.lesion
    .filter((row) => row.group_kind === "flock")
    .sort((a, b) => b.affected_animals - a.affected_animals || (a.lesion < b.lesion ? -1 : 1));
  const first = rows[0];
  if (!first) return { id: "lesions", question: words.lesionQuestion, heading: words.lesionNone, rests: "" };
  const found = rows.filter((row) => row.affected_animals > 0);
  const heading =
    found.length === 0
      ? words.lesionClean(first.examined_animals)
      : words.lesionHeading(
          lesionName(first.lesion, language),
          first.affected_animals,
          first.examined_animals,
        );
  return {
    id: "lesions",
    question: words.lesionQuestion,
    heading,
    rests: words.rests(first.examined_animals),
    ...(found.length === 0
      ? {}
      : {
          chart: intervalPlot({
            title: heading,
            axis: words.lesionAxis,
            counted: columnName("affected", language).toLowerCase(),
            share: true,
            rows: found.map((row) => ({
              label: lesionName(row.lesion, language),
              value: row.prevalence,
              lo: row.lo,
              hi: row.hi,
              count: whole(row.affected_animals, language),
              says: `${lesionName(row.lesion, language)}: ${shareOf(row, language)}`,
              reason: wordCodes(row.caution, language),
            })),
          }),
          table: tableOf(words.lesionQuestion, found, language),
        }),
    answer: {
      sentence: sentence(found.length === 0 ? heading : `${heading}, ${shareOf(first, language)}`),
      strength: 40,
    },
  };
}

/** Findings by pen: a table with a column a pen; first what is surest to be frequent, by its lower limit. */
export function lesionByPenSection({ language, findings }: SeasonPageInput): Section | null {
  const words = feetWords[language];
  const byPen = findings.lesion.filter((row) => row.group_kind === "pen");
  const rows = byPen
    .filter((row) => row.affected_animals > 0)
    .sort(
      (a, b) =>
        (b.lo ?? 0) - (a.lo ?? 0) ||
        b.affected_animals - a.affected_animals ||
        (a.group_value < b.group_value ? -1 : 1),
    );
  const first = rows[0];
  if (!first || new Set(rows.map((row) => row.group_value)).size < 2) return null;
  const pens = [
    ...new Set(byPen.filter((row) => row.examined_animals > 0).map((row) => row.group_value)),
  ].sort();
  const lesions = [...new Set(rows.map((row) => row.lesion))];
  return {
    id: "lesions-pen",
    question: words.lesionByPen,
    heading: words.lesionByPenHeading(
      lesionName(first.lesion, language),
      first.group_value,
      first.affected_animals,
      first.examined_animals,
    ),
    rests: "",
    table: {
      caption: words.lesionByPen,
      columns: [wordsColumn(columnName("lesion", language)), ...pens.map((pen) => numberColumn(pen))],
      rows: [
        ...lesions.map((lesion) => [
          lesionName(lesion, language),
          ...pens.map((pen) => {
            const row = rows.find((one) => one.lesion === lesion && one.group_value === pen);
            return whole(row?.affected_animals ?? 0, language);
          }),
        ]),
        [
          words.examined,
          ...pens.map((pen) =>
            whole(byPen.find((one) => one.group_value === pen)?.examined_animals ?? 0, language),
          ),
        ],
      ],
    },
  };
}

function tableOf(caption: string, rows: readonly LesionRow[], language: Language): DataTable {
  return {
    caption,
    columns: [
      wordsColumn(columnName("lesion", language)),
      numberColumn(columnName("examined", language)),
      numberColumn(columnName("affected", language)),
      numberColumn(columnName("share", language)),
      wordsColumn(columnName("note", language)),
    ],
    rows: rows.map((row) => [
      lesionName(row.lesion, language),
      whole(row.examined_animals, language),
      whole(row.affected_animals, language),
      row.prevalence === null ? "" : shareOf(row, language),
      wordCodes(row.caution, language),
    ]),
  };
}

function shareOf(row: LesionRow, language: Language): string {
  return percentWithLimits({ value: row.prevalence ?? 0, lo: row.lo, hi: row.hi }, language);
}
