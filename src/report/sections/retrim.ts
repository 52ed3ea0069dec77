import { readCodes, wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { retrimSteps } from "../charts/retrim-steps.ts";
import { length } from "../length-units.ts";
import { decimal, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";
import { endsOf, type GroupFigure, plotRows } from "./group-intervals.ts";

/** How long a trim lasts, over all seasons: the curve, its median, and where the checks do not tell. */
export function retrimSection({ language, flock, findings }: SeasonPageInput): Section {
  const words = findingWords[language];
  const row = findings.retrimSummary.find((one) => one.group_kind === "flock");
  const steps = findings.retrimCurve.filter((one) => one.group_kind === "flock" && one.method === "turnbull");
  if (!row || steps.length === 0) {
    return {
      id: "retrim",
      question: words.retrimQuestion,
      heading: words.retrimNone,
      rests: wordCodes(row?.caution ?? null, language),
    };
  }
  const median = row.median_days === null ? null : { value: row.median_days, lo: row.lo, hi: row.hi };
  const heading = median === null ? words.retrimBeyond(steps.at(-1)!.day) : words.retrimHeading(median.value);
  const unknown = new Map<string, { from: number; to: number }>();
  for (const step of steps) {
    for (const { id, args } of readCodes(step.known)) {
      if (id === "not_known_between")
        unknown.set(args.join(), { from: Number(args[0]), to: Number(args[1]) });
    }
  }
  return {
    id: "retrim",
    question: words.retrimQuestion,
    heading,
    chart: retrimSteps({
      title: heading,
      description: steps
        .filter((_, i) => i % 2 === 0)
        .map((step) => `${step.day}: ${decimal((step.not_yet_due ?? 0) * 100, 0, language)} %`)
        .join("; "),
      axisDays: words.retrimAxisDays,
      axisShare: words.retrimAxisShare,
      steps: steps.map((step) => ({ day: step.day, share: step.not_yet_due ?? 0, lo: step.lo, hi: step.hi })),
      unknown: [...unknown.values()],
      unknownLabel: words.retrimUnknown,
      median:
        median === null
          ? null
          : { day: median.value, label: words.retrimMedian(withLimits(median, language, 0)) },
    }),
    rests: words.rests(row.animals, whole(row.spells, language), "spells"),
    ...(row.caution === null ? {} : { cautions: [`${wordCodes(row.caution, language)}.`] }),
    ...(median === null
      ? {}
      : {
          answer: {
            sentence: words.retrimSentence(
              withLimits(median, language, 0),
              length(flock.retrimAtMm, flock.unit, language),
            ),
            strength: 55,
          },
        }),
  };
}

/** How long a trim lasts on each ground. */
export function retrimByGroundSection({ language, findings }: SeasonPageInput): Section | null {
  const words = findingWords[language];
  const rows = findings.retrimSummary.filter((row) => row.group_kind === "ground");
  if (rows.length < 2) return null;
  const figures = rows.map(
    (row): GroupFigure => ({
      label: words.groupValue("ground", row.group_value),
      value: row.median_days,
      lo: row.lo,
      hi: row.hi,
      count: row.spells,
      caution: row.caution,
    }),
  );
  const ends = endsOf(figures);
  const heading = ends
    ? words.retrimByHeading(ends.highest.label, ends.lowest.label, ends.apart)
    : words.retrimNone;
  const plotted = plotRows(figures, language, false);
  const flock = findings.retrimSummary.find((row) => row.group_kind === "flock");
  return {
    id: "retrim-ground",
    question: words.retrimByQuestion,
    heading,
    chart: intervalPlot({
      title: heading,
      description: plotted
        .map(
          (row) =>
            `${row.label}: ${row.value === null ? row.note : withLimits({ value: row.value, lo: row.lo, hi: row.hi }, language, 0)}`,
        )
        .join("; "),
      axis: words.columns.median,
      rows: plotted,
      ...(flock?.median_days == null
        ? {}
        : { reference: { value: flock.median_days, label: words.flockMean } }),
    }),
    rests: words.rests(
      flock?.animals ?? 0,
      whole(
        rows.reduce((sum, row) => sum + row.spells, 0),
        language,
      ),
      "spells",
    ),
    ...(ends?.allOverlap ? { cautions: [words.overlap] } : {}),
    table: {
      caption: words.retrimByQuestion,
      columns: [
        { name: words.columns.group, numeric: false },
        { name: words.columns.animals, numeric: true },
        { name: words.columns.spells, numeric: true },
        { name: words.columns.median, numeric: true },
        { name: words.columns.note, numeric: false },
      ],
      rows: rows.map((row) => [
        words.groupValue("ground", row.group_value),
        whole(row.animals, language),
        whole(row.spells, language),
        row.median_days === null
          ? ""
          : withLimits({ value: row.median_days, lo: row.lo, hi: row.hi }, language, 0),
        wordCodes(row.caution, language),
      ]),
    },
  };
}
