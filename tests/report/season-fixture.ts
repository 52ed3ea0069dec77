import type { AnimalHistory, FlockHistory } from "../../src/findings/animal-history.ts";
import type { SeasonFindings } from "../../src/findings/season-findings.ts";
import { dayNumber } from "../../src/records/days.ts";
import type { Language } from "../../src/records/language.ts";
import type { RowOf, TableColumns, TableDefinition } from "../../src/records/table.ts";
import type { SeasonPageInput } from "../../src/report/season-page-input.ts";

/** A row of a result table: what is given, and nothing (null, zero, no, an empty text) for the rest. */
export function rowOf<C extends TableColumns>(
  table: TableDefinition<C>,
  given: Partial<RowOf<TableDefinition<C>>>,
): RowOf<TableDefinition<C>> {
  const empty = Object.entries(table.columns).map(([name, column]) => [
    name,
    column.nullable ? null : { text: "", integer: 0, number: 0, flag: false, day: 0 }[column.type],
  ]);
  return { ...Object.fromEntries(empty), flock: "elm", season: "2024-spring", ...given };
}

const noFindings: SeasonFindings = {
  season: "2024-spring",
  growthSummary: [],
  growthAnimal: [],
  lameness: [],
  lesion: [],
  coverage: [],
  trimQuality: [],
  flockProfile: [],
  recordFlow: [],
  cases: [],
  caseSummary: [],
  liveCases: [],
  flockGrowth: [],
  flockLameness: [],
  seasonChange: [],
  retrimSummary: [],
  retrimCurve: [],
  nextCheck: [],
  lines: [],
  breedingValues: [],
  measurementError: [],
  association: [],
  pooledAssociation: [],
  diet: [],
  trialEffect: [],
  trialBaseline: [],
  doseResponse: [],
  monthWatch: [],
  signals: [],
  forecastScore: [],
  quality: [],
};

export const day = (text: string): number => {
  const [year, month, date] = text.split("-").map(Number);
  return dayNumber(year!, month!, date!)!;
};

const spring = {
  id: "2024-spring",
  name: "spring",
  year: 2024,
  from: day("2024-03-01"),
  to: day("2024-06-01"),
};

interface Given {
  readonly findings?: Partial<SeasonFindings>;
  readonly flock?: Partial<SeasonPageInput["flock"]>;
  readonly season?: Partial<SeasonPageInput["season"]>;
  readonly histories?: FlockHistory;
  readonly animals?: readonly string[];
  readonly language?: Language;
}

/** What a page is made from: a flock in its spring of 2024, of which nothing is known but what is given. */
export function seasonInput(
  given: Given &
    Partial<Omit<SeasonPageInput, "findings" | "flock" | "season" | "histories" | "language">> = {},
): SeasonPageInput {
  const { findings, flock, season, histories, animals, language, ...facts } = given;
  return {
    records: { read: 0, taken: 0, setAside: 0, repeats: 0 },
    scorers: [],
    notifiable: [],
    treatments: { count: 0, withoutWithdrawal: 0, milkUntil: null, meatUntil: null },
    footbathNamed: false,
    rationRises: [],
    sheepToo: false,
    copperKnown: false,
    lastRecord: day("2024-05-20"),
    flock: {
      id: "elm",
      name: "Elm Hollow",
      unit: "mm",
      trimToMm: 3.2,
      retrimAtMm: 9.5,
      checkWeeks: [6, 10],
      namePeople: false,
      seasonsAssumed: false,
      ...flock,
    },
    season: {
      id: spring.id,
      from: spring.from,
      to: spring.to,
      soFar: true,
      isCurrent: true,
      earlier: null,
      later: null,
      ...season,
    },
    seasons: [spring],
    today: day("2024-05-20"),
    language: language ?? "en",
    findings: { ...noFindings, ...findings },
    histories: histories ?? { measure: "overhang", animals: (animals ?? []).map(emptyHistory) },
    studyData: null,
    animalPages: new Map(
      (animals ?? histories?.animals.map(({ animal }) => animal) ?? []).map((animal) => [
        animal,
        "animals.html",
      ]),
    ),
    version: "0.0.0",
    ...facts,
  };
}

export function emptyHistory(animal: string): AnimalHistory {
  return {
    animal,
    sex: null,
    line: null,
    bornEarliest: null,
    bornLatest: null,
    present: [{ from: 0, to: 100_000 }],
    pens: [],
    claws: [],
    gaits: [],
    lesions: [],
    treatments: [],
  };
}
