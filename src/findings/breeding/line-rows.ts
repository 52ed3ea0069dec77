import { code, joinCodes } from "../../records/codes.ts";
import {
  averagedBreedingValues,
  averagedCombinations,
} from "../../statistics/pedigree/averaged-breeding-values.ts";
import { linesAgainstOthers } from "../../statistics/pedigree/breeding-combinations.ts";
import type { AnimalWeights } from "../../statistics/pedigree/breeding-value-scale.ts";
import type { GeneticDesign, GeneticFrame } from "../../statistics/pedigree/genetic-frame.ts";
import { type RecordsToHalve, recordsToHalve } from "../../statistics/pedigree/records-to-halve.ts";
import type { VarianceAverage } from "../../statistics/pedigree/variance-average.ts";
import type { TermsOfRecords } from "../../statistics/pedigree/wider-records.ts";
import type { BreedingValueRow, LineRow } from "./breeding-tables.ts";
import type { HerdPedigree } from "./herd-pedigree.ts";

/** Animals of a line with records, under which nothing is claimed of it. */
const LEAST_OF_LINE = 8;
/** Reliability below which no value of lameness is worth printing, when none reaches it. */
const LEAST_RELIABILITY = 0.2;

/** A trait's model with the uncertainty of its variances, ready to be asked for values and lines. */
export interface Trait {
  readonly name: "growth" | "lameness";
  readonly design: GeneticDesign;
  /** Inverse variance of each record given all effects, in residual variances. */
  readonly weights: Float64Array;
  readonly frame: GeneticFrame;
  readonly average: VarianceAverage;
  /** Own records of each animal of the pedigree. */
  readonly records: Int32Array;
  readonly heritable: boolean;
  /** Why no animal's value is told; null: nothing is against it but its reliability. */
  readonly silent: string | null;
  /** Squared correlations of the values with the true ones, at the fitted variances, against the mean of a base. */
  readonly reliabilities: (base: readonly number[]) => Float64Array;
}

/** Breeding values of every animal of the pedigree; silent where their reliability is too low to be worth printing. */
export function valueRows(flock: string, trait: Trait, herd: HerdPedigree): readonly BreedingValueRow[] {
  const base = recorded(trait, herd);
  if (base.length === 0) return [];
  const reliability = trait.reliabilities(base);
  const { value, lo, hi, errorVariance, probabilityAbove } = averagedBreedingValues(
    trait.frame,
    trait.average,
    base,
  );
  const reached = base.some((i) => reliability[i]! >= LEAST_RELIABILITY);
  const silent =
    trait.silent ??
    (trait.name === "growth" || reached
      ? null
      : code("reliability_too_low", LEAST_RELIABILITY, scoresForReliability(trait)));
  const told = silent === null;
  return herd.tags.map((animal, i) => ({
    flock,
    trait: trait.name,
    animal,
    line: herd.lineOf[i]! < 0 ? null : herd.lines[herd.lineOf[i]!]!,
    sire: herd.sire[i]!,
    dam: herd.dam[i]!,
    inbreeding: herd.kin.coefficient[i]!,
    value: told ? value[i]! : null,
    lo: told ? lo[i]! : null,
    hi: told ? hi[i]! : null,
    se: told ? Math.sqrt(errorVariance[i]!) : null,
    reliability: told && trait.heritable ? reliability[i]! : null,
    p_worse_than_flock: told ? probabilityAbove[i]! : null,
    records: trait.records[i]!,
    caution: joinCodes([silent, told && !trait.heritable ? code("not_heritable_here") : null]),
  }));
}

/**
 * Scores of its own from which a goat without scored kin would reach the least reliability, all else known, at the mean
 * of what the records leave open of the variance: va n w / (va n w + 1) for n scores of weight w.
 */
function scoresForReliability({ weights, records, average }: Trait): number {
  const [deviation] = meanRatios(average);
  const perScore = weights.reduce((sum, one) => sum + one, 0) / records.reduce((sum, n) => sum + n, 0);
  return Math.ceil(LEAST_RELIABILITY / (1 - LEAST_RELIABILITY) / (deviation! ** 2 * perScore));
}

/** Each line's mean and its difference from the other lines. */
export function lineRows(
  flock: string,
  trait: Trait,
  herd: HerdPedigree,
  pens: ReadonlyMap<string, number>,
): readonly LineRow[] {
  const members = herd.lines.map((_, line) => recorded(trait, herd).filter((i) => herd.lineOf[i] === line));
  const kept = herd.lines.map((_, line) => line).filter((line) => members[line]!.length > 0);
  if (kept.length < 2) return silentLines(flock, trait.name, herd, code("too_few_lines", kept.length, 2));
  const base = recorded(trait, herd);
  const means = kept.map((line) => {
    const own = members[line]!;
    const weights = new Map<number, number>();
    for (const i of base) weights.set(i, -1 / base.length);
    for (const i of own) weights.set(i, (weights.get(i) ?? 0) + 1 / own.length);
    return { animals: [...weights.keys()], weights: [...weights.values()] };
  });
  const against = linesAgainstOthers(kept.map((line) => members[line]!));
  const needed = neededOf(trait, base, against);
  const figures = averagedCombinations(trait.frame, trait.average, [...means, ...against]);
  return kept.map((line, k) => {
    const name = herd.lines[line]!;
    const own = members[line]!;
    const mean = figures[k]!;
    const difference = figures[kept.length + k]!;
    const narrow = own.length < LEAST_OF_LINE;
    const { animalsForEach, visits } = needed?.[k] ?? { animalsForEach: null, visits: null };
    return {
      flock,
      trait: trait.name,
      season: "all",
      line: name,
      inferred: own.every((i) => herd.inferred[i]),
      animals: own.length,
      mean: mean.estimate,
      lo: mean.lo,
      hi: mean.hi,
      difference: difference.estimate,
      diff_lo: difference.lo,
      diff_hi: difference.hi,
      p_worse_than_flock: narrow ? null : difference.probabilityAbove,
      goats_needed: animalsForEach === null ? null : Math.ceil(animalsForEach * own.length),
      visits_needed: visits === null ? null : Math.ceil(visits),
      caution: joinCodes([
        narrow ? code("line_too_narrow", own.length) : null,
        pens.get(name) === 1 ? code("not_separable_from_pen") : null,
        own.some((i) => herd.inferred[i]) ? code("line_inferred") : null,
        herd.lines.length < 4 ? code("line_variance_assumed", herd.lines.length) : null,
        needed === null ? code("needed_not_asked") : null,
      ]),
    };
  });
}

/** Lines of which nothing can be said, and why. */
export function silentLines(
  flock: string,
  trait: Trait["name"],
  herd: HerdPedigree,
  caution: string,
): readonly LineRow[] {
  return herd.lines.map((line, k) => ({
    flock,
    trait,
    season: "all",
    line,
    inferred: false,
    animals: herd.lineOf.filter((own, i) => own === k && i < herd.own).length,
    mean: null,
    lo: null,
    hi: null,
    difference: null,
    diff_lo: null,
    diff_hi: null,
    p_worse_than_flock: null,
    goats_needed: null,
    visits_needed: null,
    caution,
  }));
}

/** What becomes of the models' terms as goats and visits are added. */
const TERMS: TermsOfRecords = {
  ofAnimal: ["permanent"],
  place: "pen",
  ofVisit: ["month"],
  ofVisitAndPlace: ["pen_month"],
};

/**
 * What would halve the interval of each line's difference, at the mean of what the records leave open of the variances;
 * null where the flock is so large that not even the variances are averaged over.
 */
function neededOf(
  { design, weights, records, average }: Trait,
  recorded: readonly number[],
  differences: readonly AnimalWeights[],
): readonly RecordsToHalve[] | null {
  if (average.method === "plug-in") return null;
  return recordsToHalve(
    { design, weights, ratios: meanRatios(average) },
    recorded,
    records,
    differences,
    TERMS,
  );
}

function meanRatios({ points }: VarianceAverage): Float64Array {
  return points.reduce(
    (mean, { ratios, weight }) => mean.map((sum, k) => sum + weight * ratios[k]!),
    new Float64Array(points[0]!.ratios.length),
  );
}

/** Animals of the flock with records of the trait. */
function recorded(trait: Trait, herd: HerdPedigree): readonly number[] {
  return Array.from({ length: herd.own }, (_, i) => i).filter((i) => trait.records[i]! > 0);
}
