import type { GrowthSummaryRow } from "../../findings/growth-summary.ts";
import { wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { ratePerMonth, toLengthUnit } from "../length-units.ts";
import { decimal, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";
import { endsOf, type GroupFigure, plotRows } from "./group-intervals.ts";

type GroupKind = "foot" | "pen" | "ground" | "line" | "age_band" | "class" | "arm";

/** Kinds whose order never changes between seasons; the others stand by their value. */
const FIXED_ORDER: readonly GroupKind[] = ["foot", "age_band"];

/** The flock's growth: the figure that every other one of horn stands beside. */
export function growthSection(input: SeasonPageInput): Section {
  const { language, flock, findings } = input;
  const words = findingWords[language];
  const row = findings.growthSummary.find((one) => one.group_kind === "flock");
  if (!row || row.rate_mm_30d === null) {
    return {
      id: "growth",
      question: words.growthQuestion,
      heading: words.growthNone,
      rests: wordCodes(row?.caution ?? null, language),
    };
  }
  const estimate = { value: row.rate_mm_30d, lo: row.lo, hi: row.hi };
  const feet = footFigures(input);
  return {
    id: "growth",
    question: words.growthQuestion,
    heading: words.growthHeading(ratePerMonth({ ...estimate, lo: null, hi: null }, flock.unit, language)),
    rests: words.rests(row.animals, whole(row.intervals, language), "intervals"),
    ...(feet.length > 0
      ? {
          chart: plotOf(input, words.growthByQuestion.foot, feet, true),
          table: tableOf(input, words.growthByQuestion.foot, "foot"),
        }
      : {}),
    answer: {
      sentence: words.growthSentence(ratePerMonth(estimate, flock.unit, language), row.animals),
      strength: 50,
    },
  };
}

/** Growth by one kind of group; null where there is only one group, or none. */
export function growthBySection(input: SeasonPageInput, kind: GroupKind): Section | null {
  const { language, findings } = input;
  const words = findingWords[language];
  const rows = findings.growthSummary.filter((row) => row.group_kind === kind);
  if (rows.length < 2) return null;
  const figures = rows.map((row) => figureOf(input, row));
  const ends = endsOf(figures);
  const heading = ends
    ? words.growthByHeading(ends.highest.label, ends.lowest.label, ends.apart)
    : words.growthNone;
  const animals = rows.reduce((sum, row) => sum + row.animals, 0);
  const intervals = rows.reduce((sum, row) => sum + row.intervals, 0);
  return {
    id: `growth-${kind}`,
    question: words.growthByQuestion[kind],
    heading,
    chart: plotOf(input, heading, figures, FIXED_ORDER.includes(kind)),
    rests: words.rests(animals, whole(intervals, language), "intervals"),
    ...(ends?.allOverlap ? { cautions: [words.overlap] } : {}),
    table: tableOf(input, words.growthByQuestion[kind], kind),
    ...(ends?.apart ? { answer: { sentence: `${heading}.`, strength: 30 } } : {}),
  };
}

function footFigures(input: SeasonPageInput): readonly GroupFigure[] {
  const order = ["LF", "RF", "LH", "RH"];
  return input.findings.growthSummary
    .filter((row) => row.group_kind === "foot")
    .sort((a, b) => order.indexOf(a.group_value) - order.indexOf(b.group_value))
    .map((row) => figureOf(input, row));
}

function figureOf({ language, flock }: SeasonPageInput, row: GrowthSummaryRow): GroupFigure {
  const scaled = (mm: number | null): number | null => (mm === null ? null : toLengthUnit(mm, flock.unit));
  return {
    label: findingWords[language].groupValue(row.group_kind, row.group_value),
    value: scaled(row.rate_mm_30d),
    lo: scaled(row.lo),
    hi: scaled(row.hi),
    count: row.animals,
    caution: row.caution,
  };
}

function plotOf(input: SeasonPageInput, title: string, figures: readonly GroupFigure[], fixedOrder: boolean) {
  const { language, flock, findings } = input;
  const words = findingWords[language];
  const whole = findings.growthSummary.find((row) => row.group_kind === "flock");
  const rows = plotRows(figures, language, fixedOrder);
  return intervalPlot({
    title,
    description: rows
      .map(
        (row) =>
          `${row.label}: ${row.value === null ? row.note : withLimits({ value: row.value, lo: row.lo, hi: row.hi }, language, 2)}`,
      )
      .join("; "),
    axis: words.growthAxis(flock.unit),
    rows,
    ...(whole?.rate_mm_30d
      ? { reference: { value: toLengthUnit(whole.rate_mm_30d, flock.unit), label: words.flockMean } }
      : {}),
  });
}

function tableOf(input: SeasonPageInput, caption: string, kind: GroupKind): NonNullable<Section["table"]> {
  const { language, flock, findings } = input;
  const { columns } = findingWords[language];
  const decimals = flock.unit === "in" ? 2 : 1;
  const shown = (mm: number | null): string =>
    mm === null ? "" : decimal(toLengthUnit(mm, flock.unit), decimals, language);
  return {
    caption,
    columns: [
      { name: columns.group, numeric: false },
      { name: columns.animals, numeric: true },
      { name: columns.intervals, numeric: true },
      { name: `${columns.rate}, ${flock.unit}`, numeric: true },
      { name: columns.limits, numeric: true },
      { name: columns.note, numeric: false },
    ],
    rows: findings.growthSummary
      .filter((row) => row.group_kind === kind)
      .map((row) => [
        findingWords[language].groupValue(kind, row.group_value),
        whole(row.animals, language),
        whole(row.intervals, language),
        shown(row.rate_mm_30d),
        row.lo === null ? "" : `${shown(row.lo)} – ${shown(row.hi)}`,
        wordCodes(row.caution, language),
      ]),
  };
}
