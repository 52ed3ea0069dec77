import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import type { Flock } from "../records/flock.ts";
import { mixtureCumulative, mixtureQuantile } from "../statistics/distributions/t-mixture.ts";
import { averagedMixture } from "../statistics/linear-mixed-model/average-over-variances.ts";
import type { SumAndPart, SumsAverage, WeightedSum } from "../statistics/linear-mixed-model/average-sums.ts";
import type { Unfit } from "../statistics/verdict.ts";
import type { Job } from "./crew.ts";
import { growthDesign } from "./growth-design.ts";
import {
  averageGrowth,
  fitGrowthModel,
  type GrowthModel,
  growthParts,
  meanOverRows,
} from "./growth-model.ts";
import { type GrowthRows, readGrowthRows } from "./growth-rows.ts";
import { onceAFlock } from "./once-a-flock.ts";
import { type DaySpan, type SeasonPair, seasonPairs } from "./season-pair.ts";

/** A mean with limits, mm per 30 days. */
export interface GrowthFigure {
  readonly rate: number;
  readonly lo: number;
  readonly hi: number;
}

/** What the model says of one group in one season; `figure` missing where there is no fit. */
export interface GroupGrowth {
  readonly season: string;
  readonly groupKind: string;
  readonly groupValue: string;
  readonly animals: number;
  readonly intervals: number;
  readonly figure: GrowthFigure | null;
}

export interface AnimalGrowth {
  readonly season: string;
  /** Position among the rows' animals. */
  readonly animal: number;
  readonly figure: GrowthFigure;
  readonly fasterThanOthers: number;
}

/** How a group's growth in one season differs from another's. */
export interface GrowthChange {
  readonly pair: SeasonPair;
  readonly groupKind: string;
  readonly groupValue: string;
  readonly animalsInBoth: number;
  readonly difference: GrowthFigure;
  /** The same over the animals measured in both; missing where they are too few. */
  readonly same: GrowthFigure | null;
}

/** Everything that the growth model of a flock says. */
export interface FlockGrowth {
  readonly rows: GrowthRows;
  readonly model: GrowthModel | Unfit;
  readonly groups: readonly GroupGrowth[];
  readonly animals: readonly AnimalGrowth[];
  readonly changes: readonly GrowthChange[];
  /** The average over the variances that the figures come from; missing where there is no fit. */
  readonly average: SumsAverage | null;
}

/** Animals from which a group's mean is asked of the model at all. */
export const LEAST_ANIMALS = 5;

/** The growth of a flock by its mixed model, worked out once for all findings of one run. */
export const growthOf = onceAFlock(async ({ book, seed, crew }, flock): Promise<FlockGrowth> => {
  const rows = await readGrowthRows(book, flock.id);
  const groups = await groupsOf(book, flock, rows);
  return crew.run(growthJob, { flock, rows, groups, seed });
});

/** Seasons in which an interval counts: all, and the one that holds its middle day. */
export function seasonsOfSpans(flock: Flock, from: number, to: number): readonly string[] {
  const middle = Math.floor((from + to) / 2);
  const own = flock.seasons.filter((season) => middle >= season.from && middle < season.to);
  return ["all", ...own.map(({ id }) => id)];
}

/** Rows of the intervals whose middle day falls in a season and group. */
interface Group {
  readonly season: string;
  readonly kind: string;
  readonly value: string;
  readonly rows: number[];
}

interface GrowthQuestion {
  readonly flock: Flock;
  readonly rows: GrowthRows;
  readonly groups: readonly Group[];
  readonly seed: number;
}

/** Fits a flock's growth model and takes every figure from it. */
export const growthJob: Job<GrowthQuestion, FlockGrowth> = { name: "growth", work: figuresOf };

function figuresOf({ flock, rows, groups, seed }: GrowthQuestion): FlockGrowth {
  const model = fitGrowthModel(growthDesign(rows));
  const counted = groups.map((group) => ({ group, ...countsOf(rows, group.rows) }));
  const silent = (): FlockGrowth => ({
    rows,
    model,
    average: null,
    animals: [],
    changes: [],
    groups: counted.map(({ group, animals, intervals }) => ({
      season: group.season,
      groupKind: group.kind,
      groupValue: group.value,
      animals: animals.length,
      intervals,
      figure: null,
    })),
  });
  if ("trouble" in model) return silent();

  const share = sharesOf(rows);
  const sharesOfRows = (of: readonly number[]): Float64Array => Float64Array.from(of, (row) => share[row]!);
  const { parts, animalAt } = growthParts(model);
  const sums: WeightedSum[] = [];
  const asked: SumAndPart[] = [];
  const place = counted.map(({ group, animals }) => {
    if (animals.length < LEAST_ANIMALS) return -1;
    sums.push(meanOverRows(model, group.rows, sharesOfRows(group.rows)));
    asked.push({ sum: sums.length - 1, sumWeight: 1 });
    return asked.length - 1;
  });
  const ofAnimals: { season: string; animal: number; rateAt: number; fasterAt: number }[] = [];
  for (const { group, animals } of counted) {
    if (group.kind !== "flock" || animalAt < 0 || animals.length < 2) continue;
    sums.push(meanOverRows(model, group.rows, sharesOfRows(group.rows), false));
    sums.push({
      part: Int32Array.from(animals, (animal) => animalAt + animal),
      weight: new Float64Array(animals.length).fill(1),
    });
    const n = animals.length;
    for (const animal of animals) {
      asked.push({ sum: sums.length - 2, sumWeight: 1, part: animalAt + animal, partWeight: 1 });
      asked.push({
        sum: sums.length - 1,
        sumWeight: -1 / (n - 1),
        part: animalAt + animal,
        partWeight: n / (n - 1),
      });
      ofAnimals.push({ season: group.season, animal, rateAt: asked.length - 2, fasterAt: asked.length - 1 });
    }
  }
  const ofChanges = comparisonsOf(flock, rows, groups).map((comparison) => {
    const { own, other, both } = comparison;
    const ask = (of: readonly number[], against: readonly number[]): number => {
      const first = meanOverRows(model, of, sharesOfRows(of));
      const second = meanOverRows(model, against, sharesOfRows(against));
      sums.push({
        part: Int32Array.of(...first.part, ...second.part),
        weight: Float64Array.of(...first.weight, ...second.weight.map((one) => -one)),
      });
      asked.push({ sum: sums.length - 1, sumWeight: 1 });
      return asked.length - 1;
    };
    const inBoth = (of: readonly number[]): number[] => of.filter((row) => both.has(rows.animal[row]!));
    const at = ask(own, other);
    const all = new Set([...own, ...other].map((row) => rows.animal[row]!));
    const sameAt =
      both.size < LEAST_ANIMALS ? -1 : both.size === all.size ? at : ask(inBoth(own), inBoth(other));
    return { comparison, at, sameAt };
  });
  const average = averageGrowth(model, parts, sums, asked, seed);
  if ("trouble" in average) return silent();
  const figureAt = (k: number): GrowthFigure => {
    const mixture = averagedMixture(average, k);
    return {
      rate: average.mean[k]!,
      lo: mixtureQuantile(mixture, 0.025),
      hi: mixtureQuantile(mixture, 0.975),
    };
  };
  return {
    rows,
    model,
    average,
    groups: counted.map(({ group, animals, intervals }, g) => ({
      season: group.season,
      groupKind: group.kind,
      groupValue: group.value,
      animals: animals.length,
      intervals,
      figure: place[g]! < 0 ? null : figureAt(place[g]!),
    })),
    changes: ofChanges.map(({ comparison: { pair, kind, value, both }, at, sameAt }) => ({
      pair,
      groupKind: kind,
      groupValue: value,
      animalsInBoth: both.size,
      difference: figureAt(at),
      same: sameAt < 0 ? null : figureAt(sameAt),
    })),
    animals: ofAnimals.map(({ season, animal, rateAt, fasterAt }) => ({
      season,
      animal,
      figure: figureAt(rateAt),
      fasterThanOthers: 1 - mixtureCumulative(averagedMixture(average, fasterAt), 0),
    })),
  };
}

/** Rows by season and group, each interval where its middle day falls. */
async function groupsOf(book: Book, flock: Flock, rows: GrowthRows): Promise<readonly Group[]> {
  const { spans } = rows;
  const middle = (s: number): number => Math.floor((spans.from[s]! + spans.to[s]!) / 2);
  const memberships = await book.rows<{ animal: string; day: number; kind: string; value: string }>(
    `SELECT animal, day_no(day) AS day, group_kind AS kind, group_value AS value FROM exposure.animal_day_group
     WHERE flock = ${quoteText(flock.id)} ORDER BY ALL`,
  );
  const groupsOnDay = new Map<string, { kind: string; value: string }[]>();
  for (const { animal, day, kind, value } of memberships) {
    const key = `${animal}\n${day}`;
    const own = groupsOnDay.get(key);
    if (own) own.push({ kind, value });
    else groupsOnDay.set(key, [{ kind, value }]);
  }
  const seasonsOfSpan = Array.from({ length: spans.count }, (_, s) =>
    seasonsOfSpans(flock, spans.from[s]!, spans.to[s]!),
  );
  const groups = new Map<string, Group>();
  for (let i = 0; i < rows.count; i++) {
    const s = rows.span[i]!;
    const { foot, claw } = rows.claws[rows.claw[i]!]!;
    const own = [
      ...(groupsOnDay.get(`${rows.animals[rows.animal[i]!]!}\n${middle(s)}`) ?? []),
      ...(foot === "" ? [] : [{ kind: "foot", value: foot }]),
      ...(claw === "" ? [] : [{ kind: "claw", value: claw }]),
    ];
    for (const season of seasonsOfSpan[s]!) {
      for (const { kind, value } of own) {
        const key = [season, kind, value].join("\n");
        const group = groups.get(key);
        if (group) group.rows.push(i);
        else groups.set(key, { season, kind, value, rows: [i] });
      }
    }
  }
  return [...groups.keys()].sort().map((key) => groups.get(key)!);
}

/** Kinds of groups whose seasons are compared. */
export const COMPARED_KINDS: readonly string[] = ["flock", "pen", "line"];

interface Comparison {
  readonly pair: SeasonPair;
  readonly kind: string;
  readonly value: string;
  /** Rows of the two seasons, and the animals measured in both. */
  readonly own: readonly number[];
  readonly other: readonly number[];
  readonly both: ReadonlySet<number>;
}

/** The seasons of each group that can be held against another: enough animals measured in either. */
function comparisonsOf(flock: Flock, rows: GrowthRows, groups: readonly Group[]): Comparison[] {
  const { spans } = rows;
  const within = (row: number, { from, to }: DaySpan): boolean => {
    const middle = Math.floor((spans.from[rows.span[row]!]! + spans.to[rows.span[row]!]!) / 2);
    return middle >= from && middle < to;
  };
  const animalsOf = (of: readonly number[]): Set<number> => new Set(of.map((row) => rows.animal[row]!));
  return groups
    .filter(({ season, kind }) => season === "all" && COMPARED_KINDS.includes(kind))
    .flatMap(({ kind, value, rows: all }) =>
      seasonPairs(flock).flatMap((pair): Comparison[] => {
        const own = all.filter((row) => within(row, pair.own));
        const other = all.filter((row) => within(row, pair.other));
        const animals = animalsOf(own);
        const others = animalsOf(other);
        if (animals.size < LEAST_ANIMALS || others.size < LEAST_ANIMALS) return [];
        return [
          { pair, kind, value, own, other, both: new Set([...animals].filter((one) => others.has(one))) },
        ];
      }),
    );
}

function countsOf(rows: GrowthRows, of: readonly number[]): { animals: number[]; intervals: number } {
  const animals = [...new Set(of.map((row) => rows.animal[row]!))].sort((a, b) => a - b);
  return { animals, intervals: new Set(of.map((row) => rows.span[row]!)).size };
}

/** Each claw of an animal counts for one over its claws, so that a day of one animal counts once. */
function sharesOf(rows: GrowthRows): Float64Array {
  const claws = new Float64Array(rows.animals.length);
  for (const { animal } of rows.claws) claws[animal]!++;
  return Float64Array.from(rows.animal, (animal) => 1 / claws[animal]!);
}
