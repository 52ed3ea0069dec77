import type { LamenessRow } from "../../findings/lameness.ts";
import { wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { decimal, percentWithLimits, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";
import { endsOf, type GroupFigure, plotRows } from "./group-intervals.ts";

type GroupKind = "pen" | "line" | "ground" | "age_band";

/** How much of the flock is lame: over the season, on a day, and how fast new cases are seen. */
export function lamenessSection(input: SeasonPageInput): Section {
  const { language, findings } = input;
  const words = findingWords[language];
  const row = mainScale(findings.lameness.filter((one) => one.group_kind === "flock"));
  if (!row || row.prevalence === null) {
    return {
      id: "lameness",
      question: words.lamenessQuestion,
      heading: words.lamenessNone,
      rests: wordCodes(row?.caution ?? null, language),
    };
  }
  const share = percentWithLimits({ value: row.prevalence, lo: row.lo, hi: row.hi }, language);
  const sentences = [
    words.lamenessSentence(
      row.lame_animals,
      row.scored_animals,
      row.lame_animals === 0
        ? percentWithLimits({ value: row.hi ?? 0, lo: null, hi: null }, language)
        : share,
    ),
  ];
  if (row.point_prevalence !== null) {
    sentences.push(
      words.pointSentence(
        percentWithLimits({ value: row.point_prevalence, lo: row.point_lo, hi: row.point_hi }, language),
        whole(row.scores, language),
      ),
    );
  }
  if (row.incidence_100_animal_months !== null) {
    const rate = { value: row.incidence_100_animal_months, lo: row.inc_lo, hi: row.inc_hi };
    sentences.push(
      words.incidenceSentence(
        row.new_cases,
        withLimits(rate, language, 1),
        decimal(row.median_gap_days ?? 0, 0, language),
      ),
    );
  }
  return {
    id: "lameness",
    question: words.lamenessQuestion,
    heading: words.lamenessHeading(row.lame_animals, row.scored_animals),
    text: [sentences.join(" ")],
    rests: words.rests(row.scored_animals, whole(row.scores, language), "scores"),
    ...(row.caution === null ? {} : { cautions: [capital(wordCodes(row.caution, language))] }),
    answer: { sentence: sentences.slice(0, 2).join(" "), strength: 60 },
  };
}

/** Lame scores by one kind of group; null where there is only one group, or none. */
export function lamenessBySection(input: SeasonPageInput, kind: GroupKind): Section | null {
  const { language, findings } = input;
  const words = findingWords[language];
  const main = mainScale(findings.lameness.filter((one) => one.group_kind === "flock"));
  const rows = findings.lameness.filter(
    (row) => row.group_kind === kind && row.gait_scale === main?.gait_scale,
  );
  if (rows.length < 2) return null;
  const figures = rows.map(
    (row): GroupFigure => ({
      label: words.groupValue(kind, row.group_value),
      value: row.point_prevalence,
      lo: row.point_lo,
      hi: row.point_hi,
      count: row.scored_animals,
      caution: row.caution,
    }),
  );
  const ends = endsOf(figures);
  const heading = ends
    ? words.lamenessByHeading(ends.highest.label, ends.lowest.label, ends.apart)
    : words.lamenessNone;
  const plotted = plotRows(figures, language, kind === "age_band");
  const scores = rows.reduce((sum, row) => sum + row.scores, 0);
  return {
    id: `lameness-${kind}`,
    question: words.lamenessByQuestion[kind],
    heading,
    chart: intervalPlot({
      title: heading,
      description: plotted
        .map(
          (row) =>
            `${row.label}: ${row.value === null ? row.note : percentWithLimits({ value: row.value, lo: row.lo, hi: row.hi }, language)}`,
        )
        .join("; "),
      axis: words.lamenessAxis,
      rows: plotted,
      format: ".0%",
      ...(main?.point_prevalence == null
        ? {}
        : { reference: { value: main.point_prevalence, label: words.flockMean } }),
    }),
    rests: words.rests(main?.scored_animals ?? 0, whole(scores, language), "scores"),
    ...(ends?.allOverlap ? { cautions: [words.overlap] } : {}),
    table: {
      caption: words.lamenessByQuestion[kind],
      columns: [
        { name: words.columns.group, numeric: false },
        { name: words.columns.scored, numeric: true },
        { name: words.columns.scores, numeric: true },
        { name: words.columns.lame, numeric: true },
        { name: words.columns.share, numeric: true },
        { name: words.columns.note, numeric: false },
      ],
      rows: rows.map((row) => [
        words.groupValue(kind, row.group_value),
        whole(row.scored_animals, language),
        whole(row.scores, language),
        whole(row.lame_scores, language),
        row.point_prevalence === null
          ? ""
          : percentWithLimits({ value: row.point_prevalence, lo: row.point_lo, hi: row.point_hi }, language),
        wordCodes(row.caution, language),
      ]),
    },
    ...(ends?.apart ? { answer: { sentence: `${heading}.`, strength: 35 } } : {}),
  };
}

/** The row of the scale on which most animals were scored. */
export function mainScale(rows: readonly LamenessRow[]): LamenessRow | undefined {
  return [...rows].sort((a, b) => b.scored_animals - a.scored_animals)[0];
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
