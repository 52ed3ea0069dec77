import { type Book, quoteText } from "../book/book.ts";
import type { Flock } from "../records/flock.ts";
import type { SeasonSpan } from "../records/seasons.ts";
import { defaultSettings, type Settings } from "../records/settings.ts";
import { type AssociationRow, associationTable } from "./association/association-tables.ts";
import { type BetweenFlocksRow, betweenFlocksTable } from "./between-flocks.ts";
import { type CoverageRow, coverageTable } from "./coverage.ts";
import { type FlockDifferenceRow, flockDifferenceTable } from "./flock-differences.ts";
import { type GrowthSummaryRow, growthSummaryTable } from "./growth-summary.ts";
import { type LamenessRow, lamenessTable } from "./lameness.ts";
import { readTable } from "./read-table.ts";
import { readSeasonFacts, type SeasonFacts } from "./season-facts.ts";
import { type WithinFlocksRow, withinFlocksTable } from "./within-flocks.ts";

/** What a page of several flocks needs beside the pooled rows: each flock's own figures of the season. */
export interface StudyFlocks {
  readonly flocks: readonly StudyFlock[];
  readonly between: readonly BetweenFlocksRow[];
  readonly within: readonly WithinFlocksRow[];
  /** Of all seasons together. */
  readonly differences: readonly FlockDifferenceRow[];
}

export interface StudyFlock {
  readonly id: string;
  readonly name: string;
  readonly coverage: CoverageRow | null;
  readonly growth: GrowthSummaryRow | null;
  /** One row for each scale that it was scored on. */
  readonly lameness: readonly LamenessRow[];
  readonly association: readonly AssociationRow[];
}

/**
 * All flocks as if they were one, under the id `all`: settings that they agree on, defaults for the rest, and every
 * season that two or more of them have, from its earliest start to its latest end.
 */
export function flocksTogether(flocks: readonly Flock[], name: string): Flock {
  const agreed = <K extends keyof Settings>(key: K): Partial<Settings> => {
    const [first, ...others] = flocks.map(({ settings }) => settings[key]);
    const one =
      first !== undefined && others.every((other) => JSON.stringify(other) === JSON.stringify(first));
    return one ? ({ [key]: first } as Partial<Settings>) : {};
  };
  const spans = new Map<string, SeasonSpan>();
  for (const span of flocks.flatMap(({ seasons }) => seasons)) {
    const known = spans.get(span.id);
    spans.set(
      span.id,
      known ? { ...known, from: Math.min(known.from, span.from), to: Math.max(known.to, span.to) } : span,
    );
  }
  return {
    id: "all",
    name,
    settings: {
      ...defaultSettings,
      ...agreed("units"),
      ...agreed("language"),
      ...agreed("trim_to_mm"),
      ...agreed("retrim_at_mm"),
      ...agreed("name_people"),
      seasons: [],
    },
    firstDay: Math.min(...flocks.map(({ firstDay }) => firstDay)),
    today: Math.max(...flocks.map(({ today }) => today)),
    seasons: [...spans.values()]
      .filter(({ id }) => flocks.filter(({ seasons }) => seasons.some((span) => span.id === id)).length > 1)
      .sort((a, b) => a.from - b.from),
  };
}

/** What a page says of the records behind it, over the flocks that have the season: counts add up, what is named is listed. */
export async function readStudyFacts(
  book: Book,
  flocks: readonly Flock[],
  season: string,
): Promise<SeasonFacts> {
  const facts: SeasonFacts[] = [];
  for (const flock of flocks) {
    const span = flock.seasons.find(({ id }) => id === season);
    if (span) facts.push(await readSeasonFacts(book, flock, span.from, span.to));
  }
  const total = (of: (one: SeasonFacts) => number): number => facts.reduce((sum, one) => sum + of(one), 0);
  const latest = (of: (one: SeasonFacts) => number | null): number | null =>
    facts.map(of).reduce((most, day) => (day === null || (most !== null && most > day) ? most : day), null);
  return {
    records: {
      read: total(({ records }) => records.read),
      taken: total(({ records }) => records.taken),
      setAside: total(({ records }) => records.setAside),
      repeats: total(({ records }) => records.repeats),
    },
    scorers: [...new Set(facts.flatMap(({ scorers }) => scorers))],
    notifiable: facts.flatMap(({ notifiable }) => notifiable),
    treatments: {
      count: total(({ treatments }) => treatments.count),
      withoutWithdrawal: total(({ treatments }) => treatments.withoutWithdrawal),
      milkUntil: latest(({ treatments }) => treatments.milkUntil),
      meatUntil: latest(({ treatments }) => treatments.meatUntil),
    },
    footbathNamed: facts.some(({ footbathNamed }) => footbathNamed),
    rationRises: facts.flatMap(({ rationRises }) => rationRises),
    sheepToo: facts.some(({ sheepToo }) => sheepToo),
    copperKnown: facts.some(({ copperKnown }) => copperKnown),
    lastRecord: Math.max(...facts.map(({ lastRecord }) => lastRecord)),
  };
}

/** Each flock's own figures of a season, and what is known between and within flocks. */
export async function readStudyFlocks(
  book: Book,
  flocks: readonly Flock[],
  season: string,
): Promise<StudyFlocks> {
  const own: StudyFlock[] = [];
  for (const { id, name } of flocks) {
    const whole = `flock = ${quoteText(id)} AND season = ${quoteText(season)} AND group_kind = 'flock'`;
    own.push({
      id,
      name,
      coverage: (await readTable(book, coverageTable, whole))[0] ?? null,
      growth: (await readTable(book, growthSummaryTable, whole))[0] ?? null,
      lameness: await readTable(book, lamenessTable, whole),
      association: await readTable(
        book,
        associationTable,
        `flock = ${quoteText(id)} AND "check" = 'main' AND level = 'within_pen'`,
      ),
    });
  }
  const ofSeason = `season = ${quoteText(season)}`;
  return {
    flocks: own,
    between: await readTable(book, betweenFlocksTable, ofSeason),
    within: await readTable(book, withinFlocksTable, ofSeason),
    differences: await readTable(book, flockDifferenceTable),
  };
}
