import type { SeasonChangeRow } from "../../findings/season-change.ts";
import type { DayNumber } from "../../records/days.ts";
import { type TimePoint, timeLine } from "../charts/time-line.ts";
import { seasonInWords } from "../dates.ts";
import { differencePerMonth, ratePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { percentWithLimits, pointsWithLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { type SeasonBeside, studyWords } from "../words/study.ts";
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
  const changes = findings.seasonChange.filter(({ measure }) => measure === "growth");
  const days = new Set(
    input.histories.animals.flatMap(({ claws }) =>
      claws.flatMap(({ readings }) => readings.map(({ day }) => day)),
    ),
  );
  return seasonsSection(input, "growth", figures, changes, days);
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
  const changes = findings.seasonChange.filter(
    (row) => row.measure === "lame_on_a_day" && row.gait_scale === scale,
  );
  const days = new Set(input.histories.animals.flatMap(({ gaits }) => gaits.map(({ day }) => day)));
  return seasonsSection(input, "lameness", figures, changes, days);
}

function seasonsSection(
  input: SeasonPageInput,
  measure: "growth" | "lameness",
  figures: readonly SeasonFigure[],
  changes: readonly SeasonChangeRow[],
  recordDays: ReadonlySet<DayNumber>,
): Section | null {
  const { language, season, seasons, flock } = input;
  const words = studyWords[language];
  const place = seasons.findIndex((span) => span.id === season.id);
  const span = seasons[place];
  const now = figures[place];
  if (!span || now?.value == null || figures.filter(({ value }) => value !== null).length < 2) return null;
  const yearBefore = seasons.findIndex((one) => one.name === span.name && one.year === span.year - 1);
  const besides = [
    besideOf(input, measure, figures[place - 1], changes, "previous"),
    besideOf(input, measure, figures[yearBefore], changes, "year_before"),
  ].filter((one) => one !== null);
  const heading = words.seasonsHeading(measure, now.bare, besides[0] ?? null);
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
    text: [
      words.seasonsSentence(measure, now.says, besides),
      ...besides.flatMap((one) => (one.same === null ? [] : [words.seasonsSame(one.season, one.same)])),
    ],
    chart: timeLine({
      title: heading,
      measure:
        measure === "growth"
          ? words.seasonGrowthMeasure(unitName(flock.unit, language))
          : words.seasonLamenessMeasure,
      points,
      ticks: seasons.map((one) => ({ day: middle(one), label: seasonInWords(one.id, language) })),
      recordDays: [...recordDays].sort((a, b) => a - b),
      axis: words.seasonAxis(recordDays.size > 0),
      ...(measure === "lameness" ? { share: true } : {}),
    }),
    rests: words.seasonsRests(figures.filter(({ value }) => value !== null).length),
    ...(season.soFar ? { cautions: [words.soFar] } : {}),
    table: {
      caption: question,
      columns: [wordsColumn(columnName("season", language)), numberColumn(words.seasonsColumn(measure))],
      rows: figures.map((figure) => [seasonInWords(figure.season, language), figure.says]),
    },
    answer: {
      sentence: words.seasonsSentence(measure, now.says, besides),
      strength: measure === "growth" ? 49 : 59,
    },
  };
}

/** Another season's figure beside this one's, and what the analysis says of the difference. */
function besideOf(
  { language, flock }: SeasonPageInput,
  measure: "growth" | "lameness",
  figure: SeasonFigure | undefined,
  changes: readonly SeasonChangeRow[],
  against: string,
): SeasonBeside | null {
  if (figure === undefined || figure.value === null) return null;
  const change = changes.find((row) => row.against === against);
  const shown = (value: number, lo: number | null, hi: number | null): string =>
    measure === "growth"
      ? differencePerMonth({ value, lo, hi }, flock.unit, language)
      : pointsWithLimits({ value, lo, hi }, language);
  const { difference, lo, hi } = change ?? { difference: null, lo: null, hi: null };
  return {
    season: seasonInWords(figure.season, language),
    figure: figure.bare,
    change:
      difference === null || lo === null || hi === null
        ? null
        : { says: shown(difference, lo, hi), direction: lo > 0 ? "up" : hi < 0 ? "down" : "unclear" },
    same:
      change?.same_animals_difference == null
        ? null
        : {
            animals: change.animals_in_both,
            says: shown(change.same_animals_difference, change.same_lo, change.same_hi),
          },
  };
}
