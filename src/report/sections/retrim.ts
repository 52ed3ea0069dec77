import type { RetrimCurveRow } from "../../findings/retrim.ts";
import { readCodes, wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { retrimSteps } from "../charts/retrim-steps.ts";
import { length } from "../length-units.ts";
import { percentWithLimits, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { pageWords } from "../words/page.ts";
import { retrimWords } from "../words/retrim.ts";
import { endsOf, type GroupFigure, inOrder, plotRows } from "./group-intervals.ts";

/** How long a trim lasts, over all seasons: the curve, its median, and where the checks do not tell. */
export function retrimSection({ language, flock, findings }: SeasonPageInput): Section {
  const words = retrimWords[language];
  const row = findings.retrimSummary.find((one) => one.group_kind === "flock");
  const steps = findings.retrimCurve.filter((one) => one.group_kind === "flock" && one.method === "turnbull");
  if (!row || steps.length === 0) {
    return {
      id: "retrim",
      question: words.question,
      heading: words.none,
      rests: wordCodes(row?.caution ?? null, language),
    };
  }
  const median = row.median_days === null ? null : { value: row.median_days, lo: row.lo, hi: row.hi };
  const heading =
    median === null ? words.beyond(steps.at(-1)!.day) : words.heading(whole(median.value, language));
  const unknown = new Map<string, { from: number; to: number; says: string }>();
  for (const step of steps) {
    for (const { id, args } of readCodes(step.known)) {
      if (id !== "not_known_between") continue;
      const [from, to] = [Number(args[0]), Number(args[1])];
      unknown.set(args.join(), { from, to, says: words.unknown(from, to) });
    }
  }
  const shown = steps.map((step) => ({
    day: step.day,
    share: step.not_yet_due ?? 0,
    lo: step.lo,
    hi: step.hi,
    says: words.step(
      step.day,
      percentWithLimits({ value: step.not_yet_due ?? 0, lo: step.lo, hi: step.hi }, language),
    ),
  }));
  return {
    id: "retrim",
    question: words.question,
    heading,
    chart: retrimSteps({
      title: heading,
      description: [...shown.filter((_, i) => i % 2 === 0), ...unknown.values()]
        .map(({ says }) => says)
        .join("; "),
      axisDays: words.axisDays,
      axisShare: words.axisShare,
      steps: shown.slice(0, lastShown(steps) + 1),
      unknown: [...unknown.values()].filter(({ from }) => from <= steps[lastShown(steps)]!.day),
      median:
        median === null ? null : { day: median.value, label: words.median(withLimits(median, language, 0)) },
    }),
    rests: `${words.rests(row.animals, row.spells)}. ${words.allSeasons}`,
    table: {
      caption: words.question,
      columns: [numberColumn(words.dayColumn), numberColumn(columnName("share", language))],
      rows: steps
        .filter(changes)
        .map((step) => [
          whole(step.day, language),
          percentWithLimits({ value: step.not_yet_due ?? 0, lo: step.lo, hi: step.hi }, language),
        ]),
    },
    ...(row.caution === null ? {} : { cautions: [sentence(wordCodes(row.caution, language))] }),
    ...(median === null
      ? {}
      : {
          answer: {
            sentence: words.sentence(
              withLimits(median, language, 0),
              length(flock.retrimAtMm, flock.unit, language),
            ),
            strength: 55,
          },
        }),
  };
}

/** A step of the curve that differs from the one before: between them it is level. */
function changes(step: RetrimCurveRow, i: number, all: readonly RetrimCurveRow[]): boolean {
  const before = all[i - 1];
  return (
    before === undefined ||
    step.not_yet_due !== before.not_yet_due ||
    step.lo !== before.lo ||
    step.hi !== before.hi
  );
}

/** Share still within the limit that reads as none. */
const NONE_LEFT = 0.0005;

/** The step from which nothing is left to fall, or the last: what follows is an empty plot. */
function lastShown(steps: readonly RetrimCurveRow[]): number {
  const done = steps.findIndex((step) => (step.hi ?? step.not_yet_due ?? 1) < NONE_LEFT);
  return done < 0 ? steps.length - 1 : Math.min(steps.length - 1, done + 1);
}

/** How long a trim lasts on each ground; null where all stand on one. */
export function retrimByGroundSection({ language, findings }: SeasonPageInput): Section | null {
  const words = retrimWords[language];
  const rows = findings.retrimSummary.filter((row) => row.group_kind === "ground");
  if (rows.length < 2) return null;
  const shown = (row: (typeof rows)[number]): string =>
    row.median_days === null
      ? ""
      : withLimits({ value: row.median_days, lo: row.lo, hi: row.hi }, language, 0);
  const figures = rows.map(
    (row): GroupFigure => ({
      kind: "ground",
      group: row.group_value,
      value: row.median_days,
      lo: row.lo,
      hi: row.hi,
      count: row.spells,
      caution: row.caution,
      says: shown(row),
    }),
  );
  const { label, place } = groupWords[language];
  const ends = endsOf(figures);
  const heading = ends
    ? words.byHeading(place("ground", ends.highest.group), place("ground", ends.lowest.group), ends.apart)
    : words.none;
  const flock = findings.retrimSummary.find((row) => row.group_kind === "flock");
  return {
    id: "retrim-ground",
    question: words.byQuestion,
    heading,
    chart: intervalPlot({
      title: heading,
      axis: words.byAxis,
      counted: columnName("spells", language).toLowerCase(),
      rows: plotRows(figures, language),
      ...(flock?.median_days == null
        ? {}
        : { reference: { value: flock.median_days, label: groupWords[language].wholeFlock } }),
    }),
    rests: `${words.rests(
      flock?.animals ?? 0,
      rows.reduce((sum, row) => sum + row.spells, 0),
    )}. ${words.allSeasons}`,
    ...(ends?.allOverlap ? { cautions: [pageWords[language].overlap] } : {}),
    table: {
      caption: words.byQuestion,
      columns: [
        wordsColumn(columnName("group", language)),
        numberColumn(columnName("animals", language)),
        numberColumn(columnName("spells", language)),
        numberColumn(columnName("median", language)),
        wordsColumn(columnName("note", language)),
      ],
      rows: inOrder(figures)
        .map((figure) => rows.find((row) => row.group_value === figure.group)!)
        .map((row) => [
          label("ground", row.group_value),
          whole(row.animals, language),
          whole(row.spells, language),
          shown(row),
          wordCodes(row.caution, language),
        ]),
    },
  };
}
