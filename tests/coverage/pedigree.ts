import { type AnimalModel, animalModel } from "../../src/statistics/pedigree/animal-model.ts";
import { averageOverVariances } from "../../src/statistics/pedigree/average-over-variances.ts";
import {
  averagedBreedingValues,
  averagedCombinations,
} from "../../src/statistics/pedigree/averaged-breeding-values.ts";
import { linesAgainstOthers } from "../../src/statistics/pedigree/breeding-combinations.ts";
import { breedingValues } from "../../src/statistics/pedigree/breeding-values.ts";
import { type FittedAnimalModel, fitAnimalModel } from "../../src/statistics/pedigree/fit-animal-model.ts";
import { fitLogisticAnimalModel } from "../../src/statistics/pedigree/fit-logistic-animal-model.ts";
import { liabilityBootstrap } from "../../src/statistics/pedigree/liability-bootstrap.ts";
import { liabilityVariance } from "../../src/statistics/pedigree/liability-variance.ts";
import { logisticAnimalModel } from "../../src/statistics/pedigree/logistic-animal-model.ts";
import { shareInterval, shareOfTotal } from "../../src/statistics/pedigree/variance-share.ts";
import { Random } from "../../src/statistics/random.ts";
import {
  type FlockPlan,
  flockInput,
  flockScores,
  type SimulatedFlock,
  simulatedFlock,
} from "./pedigree-flock.ts";

/** One figure of the simulations: passes when it lies from `lo` to `hi`. */
export interface PedigreeCoverageRow {
  readonly what: string;
  readonly flocks: number;
  readonly got: number;
  readonly lo: number;
  readonly hi: number;
  readonly passes: boolean;
}

const SEED = 20_240_917;

const LARGE: FlockPlan = {
  generations: [100, 200, 200],
  siresPerGeneration: 12,
  lines: 1,
  recordsPerAnimal: 2,
  pens: 10,
  variances: { animal: 0.4, line: 0, permanent: 0.2, pen: 0.15, residual: 0.6 },
};

const SMALL: FlockPlan = {
  generations: [40, 40, 40],
  siresPerGeneration: 6,
  lines: 5,
  recordsPerAnimal: 3,
  pens: 6,
  variances: { animal: 0.4, line: 0.1, permanent: 0.2, pen: 0.1, residual: 0.6 },
};

const SCORED: FlockPlan = {
  generations: [40, 70, 70],
  siresPerGeneration: 8,
  lines: 1,
  recordsPerAnimal: 5,
  pens: 6,
  variances: { animal: 0.5, line: 0, permanent: 0, pen: 0.1, residual: 0 },
};

/** Simulated flocks with known truth: 200 in the quick form, 1,000 else. */
export function pedigreeCoverage(quick: boolean): PedigreeCoverageRow[] {
  const flocks = quick ? 200 : 1000;
  return [
    ...varianceRows(LARGE, flocks),
    ...intervalRows("60 goats", { ...SMALL, generations: [20, 20, 20] }, flocks, quick),
    ...(quick ? [] : intervalRows("120 goats", SMALL, flocks, quick)),
    ...intervalRows("200 goats, 3 lines", { ...SMALL, generations: [60, 70, 70], lines: 3 }, flocks, quick),
    ...liabilityRows(SCORED, quick ? 60 : 1000),
  ];
}

/** Mean variances against the truth; reliability against the squared correlation with it. */
function varianceRows(plan: FlockPlan, flocks: number): PedigreeCoverageRow[] {
  const truth = [
    plan.variances.animal,
    plan.variances.permanent,
    plan.variances.pen,
    plan.variances.residual,
  ];
  const variances: number[][] = truth.map(() => []);
  const gap: number[] = [];
  for (let f = 0; f < flocks; f++) {
    const made = fittedFlock(plan, f);
    if (made === undefined) continue;
    made.fit.variances.forEach((v, k) => {
      variances[k].push(v);
    });
    const base = Array.from(made.flock.value, (_, i) => i);
    const { value, reliability } = breedingValues(made.model, made.fit.variances, base);
    if (made.fit.variances[0] > 0) {
      gap.push(mean(reliability) - correlation(value, made.flock.value) ** 2);
    }
  }
  const names = ["animal", "permanent", "pen", "residual"];
  return [
    ...truth.map((want, k) => {
      const allowed = Math.max(0.05 * want, 2 * standardError(variances[k]));
      return row(
        `mean variance, ${names[k]}`,
        variances[k].length,
        mean(variances[k]),
        want - allowed,
        want + allowed,
      );
    }),
    row("mean reliability less squared correlation", gap.length, mean(gap), -0.03, 0.03),
  ];
}

/** Intervals and chances of small flocks, averaged over the variances. */
function intervalRows(name: string, plan: FlockPlan, flocks: number, quick: boolean): PedigreeCoverageRow[] {
  const animals: number[] = [];
  const lines: number[] = [];
  const shares: number[] = [];
  const chances: { chance: number; happened: number }[] = [];
  for (let f = 0; f < flocks; f++) {
    const made = fittedFlock(plan, 50_000 + f);
    const average =
      made === undefined
        ? undefined
        : averageOverVariances(made.model, made.fit.variances, { seed: SEED + f });
    if (made === undefined || average === undefined) continue;
    const { flock, model, fit } = made;
    const base = Array.from(flock.value, (_, i) => i);
    const level = mean(flock.value);
    const goats = averagedBreedingValues(model, average, base);
    animals.push(
      mean(flock.value.map((v, i) => Number(v - level >= goats.lo[i] && v - level <= goats.hi[i]))),
    );
    const members = membersOf(flock, plan.lines);
    const against = linesAgainstOthers(members);
    const held = averagedCombinations(model, average, against).map(({ lo, hi, probabilityAbove }, l) => {
      let truth = 0;
      for (let k = 0; k < against[l].animals.length; k++) {
        truth += against[l].weights[k] * flock.value[against[l].animals[k]];
      }
      chances.push({ chance: probabilityAbove, happened: Number(truth > 0) });
      return Number(truth > lo && truth < hi);
    });
    lines.push(mean(held));
    const { animal, permanent, pen, residual } = plan.variances;
    const denominator = model.names.map((term) => Number(term !== "group"));
    const { lo, hi } = shareInterval(model, fit, { ...shareOfTotal(model, 0), denominator });
    const heritability = animal / (animal + permanent + pen + residual);
    shares.push(Number(heritability >= lo && heritability <= hi));
  }
  const [lo, hi] = quick ? [0.905, 0.985] : [0.93, 0.97];
  return [
    row(`${name}: 95 % intervals of breeding values hold the truth`, animals.length, mean(animals), lo, hi),
    row(`${name}: 95 % intervals of lines against the others`, lines.length, mean(lines), lo, hi),
    row(`${name}: 95 % intervals of heritability`, shares.length, mean(shares), lo, hi),
    ...calibrationRows(name, chances),
  ];
}

/** The liability of a yes-or-no trait: bias before and after its removal, and the interval. */
function liabilityRows(plan: FlockPlan, flocks: number): PedigreeCoverageRow[] {
  const truth = plan.variances.animal;
  const fitted: number[] = [];
  const unbiased: number[] = [];
  const held: number[] = [];
  for (let f = 0; f < flocks; f++) {
    const random = new Random(SEED).substream(90_000 + f);
    const flock = simulatedFlock(plan, random);
    const model = logisticAnimalModel(flockScores(flock, plan, random));
    if ("verdict" in model) continue;
    const fit = fitLogisticAnimalModel(model);
    if ("trouble" in fit) continue;
    const bootstrap = liabilityBootstrap(model, fit, { seed: SEED + f });
    const { estimate, lo, hi } = liabilityVariance(model, fit, bootstrap);
    fitted.push(fit.variances[0]);
    unbiased.push(estimate);
    held.push(Number(truth >= lo && truth <= hi));
  }
  const allowed = Math.max(0.1 * truth, 2 * standardError(unbiased));
  const band = 0.005 + 2.6 * Math.sqrt((0.95 * 0.05) / held.length);
  return [
    row("liability variance as fitted (no bound)", fitted.length, mean(fitted), 0, Number.POSITIVE_INFINITY),
    row(
      "liability variance, bias removed",
      unbiased.length,
      mean(unbiased),
      truth - allowed,
      truth + allowed,
    ),
    row("95 % intervals of the liability variance", held.length, mean(held), 0.95 - band, 0.95 + band),
  ];
}

/** Chances in five bands against what happened; two binomial errors and 3 points are allowed. */
function calibrationRows(
  name: string,
  chances: readonly { readonly chance: number; readonly happened: number }[],
): PedigreeCoverageRow[] {
  return [0, 1, 2, 3, 4].flatMap((band) => {
    const inside = chances.filter(({ chance }) => Math.min(4, Math.floor(5 * chance)) === band);
    if (inside.length < 30) return [];
    const said = mean(inside.map((c) => c.chance));
    const allowed = 0.03 + 2 * Math.sqrt((said * (1 - said)) / inside.length);
    const what = `${name}: chance that a line is worse, said ${(100 * said).toFixed(0)} % (${inside.length} lines)`;
    return [row(what, inside.length, mean(inside.map((c) => c.happened)), said - allowed, said + allowed)];
  });
}

interface FittedFlock {
  readonly flock: SimulatedFlock;
  readonly model: AnimalModel;
  readonly fit: FittedAnimalModel;
}

function fittedFlock(plan: FlockPlan, number: number): FittedFlock | undefined {
  const random = new Random(SEED).substream(number);
  const flock = simulatedFlock(plan, random);
  const model = animalModel(flockInput(flock, plan, random));
  if ("verdict" in model) return undefined;
  const fit = fitAnimalModel(model);
  return "trouble" in fit ? undefined : { flock, model, fit };
}

function membersOf(flock: SimulatedFlock, lines: number): number[][] {
  return Array.from({ length: lines }, (_, l) =>
    Array.from(flock.line, (_, i) => i).filter((i) => flock.line[i] === l),
  );
}

function row(what: string, flocks: number, got: number, lo: number, hi: number): PedigreeCoverageRow {
  return { what, flocks, got, lo, hi, passes: got >= lo && got <= hi };
}

function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum / values.length;
}

function standardError(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(
    values.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (values.length - 1) / values.length,
  );
}

function correlation(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const [meanA, meanB] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    ab += (a[i] - meanA) * (b[i] - meanB);
    aa += (a[i] - meanA) ** 2;
    bb += (b[i] - meanB) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
}
