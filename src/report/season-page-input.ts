import type { FlockHistory } from "../findings/animal-history.ts";
import type { SeasonFacts } from "../findings/season-facts.ts";
import type { SeasonFindings } from "../findings/season-findings.ts";
import type { StudyTable } from "../findings/study-data.ts";
import type { DayNumber } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import type { Language } from "../records/language.ts";
import type { SeasonSpan } from "../records/seasons.ts";
import type { LengthUnit } from "./length-units.ts";

export const readers = ["breeder", "extension", "vet"] as const;
export type Reader = (typeof readers)[number];

/** What a page of one flock and season is made from, besides the reader it is for. */
export interface SeasonPageInput extends SeasonFacts {
  readonly flock: {
    readonly id: string;
    readonly name: string;
    readonly unit: LengthUnit;
    readonly trimToMm: number;
    readonly retrimAtMm: number;
    readonly checkWeeks: readonly [number, number];
    readonly namePeople: boolean;
    /** Where no latitude is given, seasons are the northern ones, and the page says so. */
    readonly seasonsAssumed: boolean;
  };
  readonly season: {
    readonly id: string;
    readonly from: DayNumber;
    /** The first day that no longer counts. */
    readonly to: DayNumber;
    readonly soFar: boolean;
    /** Whether it holds the day the pages speak of: only then is there anything to do now. */
    readonly isCurrent: boolean;
    readonly earlier: string | null;
    readonly later: string | null;
  };
  /** Every season of the flock, in order. */
  readonly seasons: readonly SeasonSpan[];
  /** The day the page speaks of. */
  readonly today: DayNumber;
  readonly language: Language;
  readonly findings: SeasonFindings;
  readonly histories: FlockHistory;
  /** The page on which each animal of the season has its panel. */
  readonly animalPages: ReadonlyMap<string, string>;
  /** Rows of the files without names that stand beside the page; null where none are made. */
  readonly studyData: Readonly<Record<StudyTable, number>> | null;
  readonly version: string;
}

export function seasonPageInput(
  flock: Flock,
  span: SeasonSpan,
  facts: SeasonFacts,
  findings: SeasonFindings,
  histories: FlockHistory,
  language: Language,
  version: string,
  studyData: SeasonPageInput["studyData"] = null,
): SeasonPageInput {
  const { settings } = flock;
  const place = flock.seasons.findIndex((one) => one.id === span.id);
  return {
    ...facts,
    flock: {
      id: flock.id,
      name: flock.name,
      unit: settings.units ?? "mm",
      trimToMm: settings.trim_to_mm,
      retrimAtMm: settings.retrim_at_mm,
      checkWeeks: settings.check_weeks,
      namePeople: settings.name_people,
      seasonsAssumed: settings.latitude === undefined && settings.seasons === undefined,
    },
    season: {
      id: span.id,
      from: span.from,
      to: span.to,
      soFar: span.to > flock.today,
      isCurrent: span.from <= flock.today && flock.today < span.to,
      earlier: flock.seasons[place - 1]?.id ?? null,
      later: flock.seasons[place + 1]?.id ?? null,
    },
    seasons: flock.seasons,
    today: flock.today,
    language,
    findings,
    histories,
    animalPages: animalPages(histories, span),
    studyData,
    version,
  };
}

/** Panels on one page: with two years of records each, a page of them stays well under 1.5 MB. */
const PANELS = 200;

/** Animals present in the season in the order of their tags, so many a page. */
function animalPages(histories: FlockHistory, season: SeasonSpan): ReadonlyMap<string, string> {
  const present = histories.animals.filter(({ present }) =>
    present.some(({ from, to }) => from < season.to && to > season.from),
  );
  return new Map(
    present.map(({ animal }, i) => {
      const page = Math.floor(i / PANELS);
      return [animal, page === 0 ? "animals.html" : `animals-${page + 1}.html`];
    }),
  );
}
