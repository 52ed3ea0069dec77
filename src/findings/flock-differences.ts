import type { Book } from "../book/book.ts";
import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { clusteredContrast } from "../statistics/clustered-contrast.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import { zeroMatrix } from "../statistics/linear-algebra/dense-matrix.ts";
import { metaRegression } from "../statistics/meta-regression.ts";
import { acceleratedFailureTime } from "../statistics/survival/accelerated-failure-time.ts";
import { clusterUncertainty } from "../statistics/survival/aft-inference.ts";
import { cochransP } from "./between-flocks.ts";
import { gatherRows } from "./gather-rows.ts";
import { MODELLED } from "./growth-interval.ts";
import { RETRIM_FAMILIES } from "./retrim-curve.ts";

export const flockDifferenceTable = defineTable({
  schema: "results",
  name: "flock_difference",
  grain: ["flock", "outcome", "group_kind", "group_value", "check", "left_out"],
  columns: {
    flock: text.always(
      "flock with at least 5 animals in the group and 5 outside it; all: such flocks, 3 or more",
    ),
    outcome: text.always("growth, time_to_retrim"),
    group_kind: text.always("ground, age_band, class"),
    group_value: text.always("which of them"),
    check: text.always("main, leave_out_flock"),
    left_out: text.always("the flock left out; else empty"),
    flocks: integer.always("flocks in it"),
    animals: integer.always("animals of the group"),
    other_animals: integer.always("animals of the same flocks outside it"),
    effect: number("group against the other goats of its own flock: mm per 30 days, or a ratio of times"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    df: number("degrees of freedom of its t: flocks less 1, or animals less 1 in one flock"),
    p_alike: number("p of the flocks' differences lying no further apart than their own errors let them"),
    effect_kind: text.always("mm_per_30d, time_ratio"),
    caution: text("codes"),
  },
  reads: ["results.growth_interval", "results.trim_spell", "exposure.animal_day_group"],
  identities: [
    { says: "limits lie around the effect", holds: "lo IS NULL OR (lo <= effect AND effect <= hi)" },
    {
      says: "few animals or flocks are not shown",
      holds: "animals >= 5 AND other_animals >= 5 AND (flock <> 'all' OR flocks >= 2)",
    },
  ],
});

export type FlockDifferenceRow = RowOf<typeof flockDifferenceTable>;

/** Below these a difference would be a few goats', and a common one that of a flock or two. */
const LEAST_ANIMALS = 5;
const LEAST_FLOCKS = 3;

/** What one flock's group differs by from its other goats; ratios as their logarithm. */
export interface OwnDifference {
  readonly flock: string;
  readonly animals: number;
  readonly otherAnimals: number;
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
}

/**
 * How much faster horn grew, and how much longer a trim lasted, in a group of goats than in the other goats of their own
 * flock: each flock's difference, all put together, and all but one. Whatever a flock has of its own falls out. Growth is
 * compared within months of the flock, trims by an accelerated failure time model, goats as clusters.
 */
export async function flockDifferenceRows(book: Book): Promise<readonly FlockDifferenceRow[]> {
  return [
    ...differenceRows("growth", await growthDifferences(book)),
    ...differenceRows("time_to_retrim", await retrimDifferences(book)),
  ];
}

type Outcome = "growth" | "time_to_retrim";
type DifferencesOfGroups = ReadonlyMap<string, readonly OwnDifference[]>;

function differenceRows(outcome: Outcome, groups: DifferencesOfGroups): FlockDifferenceRow[] {
  return [...groups].flatMap(([key, own]) => {
    const [group_kind, group_value] = key.split("\n") as [string, string];
    return groupRows({ outcome, group_kind, group_value }, own);
  });
}

/** One group's rows of one outcome. */
export function groupRows(
  group: Pick<FlockDifferenceRow, "outcome" | "group_kind" | "group_value">,
  own: readonly OwnDifference[],
): FlockDifferenceRow[] {
  if (own.length < LEAST_FLOCKS) return [];
  const ratio = group.outcome === "time_to_retrim";
  const shown = (value: number): number => (ratio ? Math.exp(value) : value);
  const base = { ...group, check: "main", left_out: "", effect_kind: ratio ? "time_ratio" : "mm_per_30d" };
  const total = (of: readonly OwnDifference[], count: (one: OwnDifference) => number): number =>
    of.reduce((sum, one) => sum + count(one), 0);
  const pooledRow = (of: readonly OwnDifference[]): Omit<FlockDifferenceRow, "caution"> => {
    const pooled = pooledDifference(of);
    return {
      ...base,
      flock: "all",
      flocks: of.length,
      animals: total(of, ({ animals }) => animals),
      other_animals: total(of, ({ otherAnimals }) => otherAnimals),
      effect: shown(pooled.estimate),
      lo: shown(pooled.estimate - pooled.reach),
      hi: shown(pooled.estimate + pooled.reach),
      df: of.length - 1,
      p_alike: cochransP(
        of.map(({ estimate }) => estimate),
        of.map(({ standardError }) => standardError),
      ),
    };
  };
  const all = pooledRow(own);
  const without = own.map(({ flock }) => ({
    ...pooledRow(own.filter((one) => one.flock !== flock)),
    check: "leave_out_flock",
    left_out: flock,
    caution: null,
  }));
  const turned = without.find(
    ({ effect }) => Math.sign(shown(0) - effect!) !== Math.sign(shown(0) - all.effect!),
  );
  const clear = all.lo! > shown(0) || all.hi! < shown(0);
  return [
    {
      ...all,
      caution: joinCodes([clear && turned !== undefined ? code("rests_on", turned.left_out) : null]),
    },
    ...without,
    ...own.map(({ flock, animals, otherAnimals, estimate, standardError, df }) => {
      // goats of one ground share its pens: they are not so many trials of it
      const told = group.group_kind !== "ground";
      const reach = tUpperQuantile(0.025, df) * standardError;
      return {
        ...base,
        flock,
        flocks: 1,
        animals,
        other_animals: otherAnimals,
        effect: shown(estimate),
        lo: told ? shown(estimate - reach) : null,
        hi: told ? shown(estimate + reach) : null,
        df: told ? df : null,
        p_alike: null,
        caution: told ? null : code("pen_level_withheld"),
      };
    }),
  ];
}

/**
 * Mean over flocks whose differences vary beyond their own errors (Paule & Mandel 1982; Knapp & Hartung 2003), with t on
 * flocks − 1: what the goats of one flock's pens share varies between flocks and so is in the limits.
 */
function pooledDifference(own: readonly OwnDifference[]): {
  readonly estimate: number;
  readonly reach: number;
} {
  const covariance = zeroMatrix(own.length, own.length);
  own.forEach(({ standardError }, i) => {
    covariance.values[i * (own.length + 1)] = standardError ** 2;
  });
  const mean = metaRegression(
    own.map(({ estimate }) => estimate),
    covariance,
    [own.map(() => 1)],
  )!;
  return {
    estimate: mean.coefficients[0]!,
    reach: tUpperQuantile(0.025, mean.df) * mean.standardErrors[0]!,
  };
}

interface GroupedRow {
  readonly flock: string;
  readonly animal: string;
  readonly group_kind: string;
  readonly group_value: string;
}

const GROUPS = "g.group_kind IN ('ground', 'age_band', 'class') AND g.group_value <> 'unknown'";

async function growthDifferences(book: Book): Promise<DifferencesOfGroups> {
  const rows = await book.rows<GroupedRow & { rate: number; month: number }>(`
    SELECT s.flock, s.animal, g.group_kind, g.group_value, s.rate, CAST(year(s.date_to) * 12 + month(s.date_to) AS INTEGER) AS month
    FROM (SELECT flock, animal, date_from, date_to, CAST(avg(rate_mm_30d) AS DOUBLE) AS rate FROM results.growth_interval
      WHERE ${MODELLED} GROUP BY flock, animal, date_from, date_to) s
    JOIN exposure.animal_day_group g ON g.flock = s.flock AND g.animal = s.animal AND g.day = s.date_from
    WHERE ${GROUPS} ORDER BY ALL`);
  return differencesOf(rows, (own, inGroup, animal) =>
    clusteredContrast({
      value: own.map(({ rate }) => rate),
      inGroup,
      block: own.map(({ month }) => month),
      cluster: animal,
    }),
  );
}

async function retrimDifferences(book: Book): Promise<DifferencesOfGroups> {
  const rows = await book.rows<GroupedRow & { not_over_until: number; over_by: number | null }>(`
    SELECT s.flock, s.animal, g.group_kind, g.group_value, s.not_over_until, s.over_by
    FROM results.trim_spell s JOIN exposure.animal_day_group g ON g.flock = s.flock AND g.animal = s.animal AND g.day = s.trimmed_on
    WHERE s.foot = '' AND s.left_out IS NULL AND ${GROUPS} ORDER BY ALL`);
  return differencesOf(rows, (own, inGroup, animal) => {
    const times = {
      left: own.map(({ not_over_until }) => not_over_until),
      right: own.map(({ over_by }) => over_by ?? Number.POSITIVE_INFINITY),
      names: ["(all)", "group"],
      columns: [new Float64Array(own.length).fill(1), Float64Array.from(inGroup, Number)],
    };
    const fits = RETRIM_FAMILIES.map((distribution) => acceleratedFailureTime({ ...times, distribution }));
    const best = fits
      .filter((fit) => fit.verdict === "converged")
      .reduce<(typeof fits)[number] | null>(
        (least, fit) => (least === null || !("aic" in least) || fit.aic < least.aic ? fit : least),
        null,
      );
    if (best === null || !("aic" in best)) return undefined;
    const uncertainty = clusterUncertainty(best, animal);
    if ("trouble" in uncertainty) return undefined;
    return {
      estimate: best.coefficients[1]!,
      standardError: uncertainty.standardErrors[1]!,
      df: uncertainty.df,
    };
  });
}

type Difference = Pick<OwnDifference, "estimate" | "standardError" | "df">;

/** Each group's difference in every flock that has goats enough in it and outside it. */
function differencesOf<Row extends GroupedRow>(
  rows: readonly Row[],
  difference: (
    own: readonly Row[],
    inGroup: readonly boolean[],
    animal: readonly number[],
  ) => Difference | undefined,
): DifferencesOfGroups {
  const found = new Map<string, OwnDifference[]>();
  for (const own of gatherRows(rows, ({ flock, group_kind }) => `${flock}\n${group_kind}`).values()) {
    const { flock, group_kind } = own[0]!;
    const tags = [...new Set(own.map(({ animal }) => animal))];
    const place = new Map(tags.map((tag, k) => [tag, k]));
    const animal = own.map((row) => place.get(row.animal)!);
    for (const group_value of [...new Set(own.map((row) => row.group_value))].sort()) {
      const inGroup = own.map((row) => row.group_value === group_value);
      const animalsWhere = (wanted: boolean): number =>
        new Set(animal.filter((_, i) => inGroup[i] === wanted)).size;
      const [animals, otherAnimals] = [animalsWhere(true), animalsWhere(false)];
      if (Math.min(animals, otherAnimals) < LEAST_ANIMALS) continue;
      const told = difference(own, inGroup, animal);
      if (told === undefined || !(told.standardError > 0)) continue;
      const key = `${group_kind}\n${group_value}`;
      const list = found.get(key) ?? [];
      list.push({ flock, animals, otherAnimals, ...told });
      found.set(key, list);
    }
  }
  return found;
}
