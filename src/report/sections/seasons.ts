import type { DayNumber } from "../../records/days.ts";
import { type TimePoint, timeLine } from "../charts/time-line.ts";
import { seasonInWords } from "../dates.ts";
import { ratePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { percentWithLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { studyWords } from "../words/study.ts";
import { flockLameness } from "./lameness.ts";

/** A season's figure of one measure, in the reader's units. */
interface SeasonFigure {
  readonly season: string;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  readonly says: string;
  readonly bare: string;
}

/** Growth season by season, beside the season before and the same season a year before. */
export function seasonsGrowthSection(input: SeasonPageInput): Section | null {
  const { language, flock, findings } = input;
  const words = studyWords[language];
  const scaled = (mm: number | null): number | null => (mm === null ? null : toLengthUnit(mm, flock.unit));
  const figures = input.seasons.map((span): SeasonFigure => {
    const row = findings.flockGrowth.find((one) => one.season === span.id);
    const rate = row?.rate_mm_30d ?? null;
    const shown = (withLimits: boolean): string =>
      rate === null
        ? words.noFigure
        : ratePerMonth(
            { value: rate, lo: withLimits ? row!.lo : null, hi: withLimits ? row!.hi : null },
            flock.unit,
            language,
          );
    return {
      season: span.id,
      value: scaled(rate),
      lo: scaled(row?.lo ?? null),
      hi: scaled(row?.hi ?? null),
      says: shown(true),
      bare: shown(false),
    };
  });
  const days = new Set(
    input.histories.animals.flatMap(({ claws }) =>
      claws.flatMap(({ readings }) => readings.map(({ day }) => day)),
    ),
  );
  return seasonsSection(input, "growth", figures, days);
}

/** The share lame on a day, season by season, on the scale that this season was scored on most. */
export function seasonsLamenessSection(input: SeasonPageInput): Section | null {
  const { language, findings } = input;
  const words = studyWords[language];
  const scale = flockLameness(input)?.gait_scale;
  const figures = input.seasons.map((span): SeasonFigure => {
    const row = findings.flockLameness.find((one) => one.season === span.id && one.gait_scale === scale);
    const share = row?.point_prevalence ?? null;
    const shown = (withLimits: boolean): string =>
      share === null
        ? words.noFigure
        : percentWithLimits(
            { value: share, lo: withLimits ? row!.point_lo : null, hi: withLimits ? row!.point_hi : null },
            language,
          );
    return {
      season: span.id,
      value: share,
      lo: row?.point_lo ?? null,
      hi: row?.point_hi ?? null,
      says: shown(true),
      bare: shown(false),
    };
  });
  const days = new Set(input.histories.animals.flatMap(({ gaits }) => gaits.map(({ day }) => day)));
  return seasonsSection(input, "lameness", figures, days);
}

function seasonsSection(
  input: SeasonPageInput,
  measure: "growth" | "lameness",
  figures: readonly SeasonFigure[],
  recordDays: ReadonlySet<DayNumber>,
): Section | null {
  const { language, season, seasons, flock } = input;
  const words = studyWords[language];
  const place = seasons.findIndex((span) => span.id === season.id);
  const span = seasons[place];
  const now = figures[place];
  if (!span || now?.value == null || figures.filter(({ value }) => value !== null).length < 2) return null;
  const known = (figure: SeasonFigure | undefined): SeasonFigure | null =>
    figure === undefined || figure.value === null ? null : figure;
  const before = known(figures[place - 1]);
  const yearBefore = known(
    figures[seasons.findIndex((one) => one.name === span.name && one.year === span.year - 1)],
  );
  const heading = words.seasonsHeading(measure, now.bare, before?.bare ?? null);
  const question = measure === "growth" ? words.seasonsGrowthQuestion : words.seasonsLamenessQuestion;
  const middle = (one: { readonly from: number; readonly to: number }): number =>
    Math.round((one.from + one.to) / 2);
  const points = figures.map(
    (figure, i): TimePoint => ({
      day: middle(seasons[i]!),
      value: figure.value,
      lo: figure.lo,
      hi: figure.hi,
      says: `${seasonInWords(figure.season, language)}: ${figure.says}`,
      current: i === place,
    }),
  );
  return {
    id: `seasons-${measure}`,
    question,
    heading,
    text: [words.seasonsSentence(now.says, before?.says ?? null, yearBefore?.says ?? null)],
    chart: timeLine({
      title: heading,
      measure:
        measure === "growth"
          ? words.seasonGrowthMeasure(unitName(flock.unit, language))
          : words.seasonLamenessMeasure,
      points,
      ticks: seasons.map((one) => ({ day: middle(one), label: seasonInWords(one.id, language) })),
      recordDays: [...recordDays].sort((a, b) => a - b),
      axis: words.seasonAxis,
      ...(measure === "lameness" ? { share: true } : {}),
    }),
    rests: "",
    ...(season.soFar ? { cautions: [words.soFar] } : {}),
    table: {
      caption: question,
      columns: [wordsColumn(columnName("season", language)), numberColumn(columnName("limits", language))],
      rows: figures.map((figure) => [seasonInWords(figure.season, language), figure.says]),
    },
  };
}
