import type { LamenessRow } from "../../findings/lameness.ts";
import { wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { decimal, percentWithLimits, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { lamenessWords } from "../words/lameness.ts";
import { pageWords } from "../words/page.ts";
import { endInWords, endsOf, type GroupFigure, inOrder, plotRows } from "./group-intervals.ts";

type GroupKind = "pen" | "line" | "ground" | "age_band";

/** How much of the flock is lame: over the season, on a day, and how fast new cases are seen. */
export function lamenessSection(input: SeasonPageInput): Section {
  const { language } = input;
  const words = lamenessWords[language];
  const row = flockLameness(input);
  if (!row || row.prevalence === null) {
    return {
      id: "lameness",
      question: words.question,
      heading: words.none,
      rests: wordCodes(row?.caution ?? null, language),
    };
  }
  const sentences = lamenessSentences(input, row);
  return {
    id: "lameness",
    question: words.question,
    heading: words.heading(row.lame_animals, row.scored_animals),
    text: [sentences.join(" ")],
    rests: words.rests(row.scored_animals, row.scores),
    ...(row.caution === null ? {} : { cautions: [sentence(wordCodes(row.caution, language))] }),
    answer: { sentence: sentences.slice(0, 2).join(" "), strength: 60 },
  };
}

/** Period prevalence, point prevalence, new cases, onset and recovery, each where there is a figure. */
function lamenessSentences({ language }: SeasonPageInput, row: LamenessRow): readonly string[] {
  const words = lamenessWords[language];
  const upTo = percentWithLimits({ value: row.hi ?? 0, lo: null, hi: null }, language);
  const share = percentWithLimits({ value: row.prevalence ?? 0, lo: row.lo, hi: row.hi }, language);
  const said = [words.sentence(row.lame_animals, row.scored_animals, row.lame_animals === 0 ? upTo : share)];
  if (row.point_prevalence !== null) {
    said.push(words.point(pointShare(row, language), row.scores));
    const other = (value: number | null, lo: number | null, hi: number | null): string | null =>
      value === null ? null : percentWithLimits({ value, lo, hi }, language);
    const withForCause = other(
      row.point_with_for_cause,
      row.point_with_for_cause_lo,
      row.point_with_for_cause_hi,
    );
    const withoutAssumed = other(
      row.point_without_assumed,
      row.point_without_assumed_lo,
      row.point_without_assumed_hi,
    );
    if (withForCause !== null) said.push(words.withForCause(withForCause));
    if (withoutAssumed !== null) said.push(words.withoutAssumed(withoutAssumed));
    if (row.severe_scores > 0) said.push(words.severe(row.severe_scores));
  }
  if (row.incidence_100_animal_months !== null) {
    const rate = { value: row.incidence_100_animal_months, lo: row.inc_lo, hi: row.inc_hi };
    said.push(
      words.incidence(
        row.new_cases,
        withLimits(rate, language, 1),
        decimal(row.median_gap_days ?? 0, 0, language),
      ),
    );
  }
  if (row.onset_100_animal_months !== null) {
    const rate = { value: row.onset_100_animal_months, lo: row.onset_lo, hi: row.onset_hi };
    said.push(words.onset(withLimits(rate, language, 1)));
  }
  if (row.median_days_lame !== null) said.push(words.recovery(whole(row.median_days_lame, language)));
  return said;
}

/** Lame scores by one kind of group; null where there is only one group, or none. */
export function lamenessBySection(input: SeasonPageInput, kind: GroupKind): Section | null {
  const { language, findings } = input;
  const words = lamenessWords[language];
  const main = flockLameness(input);
  const rows = findings.lameness.filter(
    (row) => row.group_kind === kind && row.gait_scale === main?.gait_scale,
  );
  if (!main || rows.length < 2) return null;
  const figures = rows.map(
    (row): GroupFigure => ({
      kind,
      group: row.group_value,
      value: row.point_prevalence,
      lo: row.point_lo,
      hi: row.point_hi,
      count: row.scored_animals,
      caution: row.caution,
      says: pointShare(row, language),
    }),
  );
  const { label, place } = groupWords[language];
  const ends = endsOf(figures);
  const heading = ends
    ? words.byHeading(place(kind, ends.highest.group), place(kind, ends.lowest.group), ends.apart)
    : words.tooFewGroups;
  // what lines differ by is for the model that takes their pens out, where there is one
  const isModelled = kind === "line" && input.findings.lines.some((row) => row.trait === "lameness");
  const cautions = [
    ...(ends?.allOverlap ? [pageWords[language].overlap] : []),
    ...(isModelled ? [words.asTheyStood] : []),
  ];
  return {
    id: `lameness-${kind}`,
    question: words.byQuestion[kind],
    heading,
    chart: intervalPlot({
      title: heading,
      axis: words.axis,
      counted: columnName("animals", language).toLowerCase(),
      rows: plotRows(figures, language),
      share: true,
      ...(main.point_prevalence === null
        ? {}
        : { reference: { value: main.point_prevalence, label: groupWords[language].wholeFlock } }),
    }),
    rests: words.rests(
      main.scored_animals,
      rows.reduce((sum, row) => sum + row.scores, 0),
    ),
    ...(cautions.length > 0 ? { cautions } : {}),
    table: {
      caption: words.byQuestion[kind],
      columns: [
        wordsColumn(columnName("group", language)),
        numberColumn(columnName("scored", language)),
        numberColumn(columnName("scores", language)),
        numberColumn(columnName("lame", language)),
        numberColumn(columnName("share", language)),
        wordsColumn(columnName("note", language)),
      ],
      rows: inOrder(figures)
        .map((figure) => rows.find((row) => row.group_value === figure.group)!)
        .map((row) => [
          label(kind, row.group_value),
          whole(row.scored_animals, language),
          whole(row.scores, language),
          whole(row.lame_scores, language),
          row.point_prevalence === null ? "" : pointShare(row, language),
          wordCodes(row.caution, language),
        ]),
    },
    ...(ends?.apart && !isModelled
      ? {
          answer: {
            sentence: words.byAnswer(
              endInWords(kind, ends.highest, language),
              endInWords(kind, ends.lowest, language),
            ),
            strength: 35,
          },
        }
      : {}),
  };
}

/** The flock's row on the scale on which most animals were scored. */
export function flockLameness({ findings }: Pick<SeasonPageInput, "findings">): LamenessRow | undefined {
  return mainScale(findings.lameness.filter((row) => row.group_kind === "flock"));
}

/** The row of the scale on which most animals were scored. */
function mainScale(rows: readonly LamenessRow[]): LamenessRow | undefined {
  return [...rows].sort((a, b) => b.scored_animals - a.scored_animals)[0];
}

function pointShare(row: LamenessRow, language: SeasonPageInput["language"]): string {
  return percentWithLimits(
    { value: row.point_prevalence ?? 0, lo: row.point_lo, hi: row.point_hi },
    language,
  );
}
