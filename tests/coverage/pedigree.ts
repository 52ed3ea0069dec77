import { geneticVariances } from "../../src/findings/breeding/genetic-variances.ts";
import type { VarianceRow } from "../../src/findings/variance.ts";
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
import type { GeneticFrame } from "../../src/statistics/pedigree/genetic-frame.ts";
import { liabilityBootstrap } from "../../src/statistics/pedigree/liability-bootstrap.ts";
import {
  averageOverLiabilityVariances,
  liabilityValues,
} from "../../src/statistics/pedigree/liability-values.ts";
import {
  additiveVarianceShows,
  liabilityVariance,
  unbiasedVariances,
} from "../../src/statistics/pedigree/liability-variance.ts";
import { logisticAnimalModel } from "../../src/statistics/pedigree/logistic-animal-model.ts";
import type { VarianceAverage } from "../../src/statistics/pedigree/variance-average.ts";
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
  lines: 5,
  recordsPerAnimal: 5,
  pens: 6,
  variances: { animal: 0.5, line: 0.09, permanent: 0, pen: 0.1, residual: 0 },
};

/** Flocks of 120 goats in which something other than the variances differs. */
const REGIMES: Readonly<Record<string, Partial<FlockPlan>>> = {
  "overlapping generations": { overlapping: true },
  "two sires a generation": { siresPerGeneration: 2 },
  "one line eight times another": { firstLineOverLast: 8 },
  "nine records in ten in the line's own pen": { inLinePen: 0.9 },
  "half of the sires unknown": { sireUnknown: 0.5 },
  "half of the sires one of two": { sireOfTwo: 0.5 },
  "seven generations, two sires each": {
    generations: [16, 16, 16, 18, 18, 18, 18],
    siresPerGeneration: 2,
    lines: 4,
  },
  "hardly heritable": { variances: { ...SMALL.variances, animal: 0.03, line: 0.01 } },
  "highly heritable": { variances: { ...SMALL.variances, animal: 1.5, permanent: 0.05 } },
  "no pen and no permanent effects": { variances: { ...SMALL.variances, pen: 0, permanent: 0 } },
};

/** Standard deviations between lines that chances are checked at. */
const LINE_DEVIATIONS = [0.1, 0.3, 0.6];

/** Pedigrees with known truth and records of growth: so many flocks of every kind. */
export function pedigreeCoverage(quick: boolean, flocks: number): PedigreeCoverageRow[] {
  const small = { ...SMALL, generations: [20, 20, 20] };
  const three = { ...SMALL, generations: [60, 70, 70], lines: 3 };
  return [
    ...varianceRows(LARGE, flocks),
    ...LINE_DEVIATIONS.flatMap((deviation) => {
      const line = deviation ** 2;
      const named = (plan: FlockPlan): FlockPlan => ({ ...plan, variances: { ...plan.variances, line } });
      return [
        ...intervalRows(`60 goats, line sd ${deviation}`, named(small), flocks, quick),
        ...intervalRows(`120 goats, line sd ${deviation}`, named(SMALL), flocks, quick),
        ...intervalRows(`200 goats, 3 lines, line sd ${deviation}`, named(three), flocks, quick),
      ];
    }),
    ...Object.entries(REGIMES).flatMap(([name, differs]) =>
      intervalRows(name, { ...SMALL, ...differs }, flocks, quick),
    ),
  ];
}

/** The same for lameness on the log odds. */
export function liabilityCoverage(quick: boolean, flocks: number): PedigreeCoverageRow[] {
  return liabilityRows(SCORED, flocks, quick);
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

/** What one flock's values, reliabilities and lines came to against its truth. */
class Held {
  readonly #name: string;
  readonly #bounds: readonly [number, number];
  readonly #animals: number[] = [];
  readonly #reliability: number[] = [];
  readonly #lines: number[] = [];
  readonly #chances: { chance: number; happened: number }[] = [];
  readonly #heritability: number[] = [];

  constructor(name: string, quick: boolean) {
    this.#name = name;
    this.#bounds = quick ? [0.905, 0.985] : [0.93, 0.97];
  }

  /** `reliability`: null where the flock is told none. */
  note(
    flock: SimulatedFlock,
    plan: FlockPlan,
    frame: GeneticFrame,
    average: VarianceAverage,
    reliability: ((base: number[]) => Float64Array) | null,
  ): void {
    const base = Array.from(flock.value, (_, i) => i);
    const level = mean(flock.value);
    const goats = averagedBreedingValues(frame, average, base);
    this.#animals.push(
      mean(flock.value.map((v, i) => Number(v - level >= goats.lo[i] && v - level <= goats.hi[i]))),
    );
    if (reliability !== null) {
      this.#reliability.push(mean(reliability(base)) - correlation(goats.value, flock.value) ** 2);
    }
    if (plan.lines < 2) return;
    const against = linesAgainstOthers(membersOf(flock, plan.lines).filter((line) => line.length > 0));
    const held = averagedCombinations(frame, average, against).map(({ lo, hi, probabilityAbove }, l) => {
      let truth = 0;
      for (let k = 0; k < against[l].animals.length; k++) {
        truth += against[l].weights[k] * flock.value[against[l].animals[k]];
      }
      this.#chances.push({ chance: probabilityAbove, happened: Number(truth > 0) });
      return Number(truth > lo && truth < hi);
    });
    this.#lines.push(mean(held));
  }

  noteHeritability(truth: number, rows: readonly VarianceRow[]): void {
    const { share_lo: lo, share_hi: hi } = rows[0];
    if (lo !== null && hi !== null) this.#heritability.push(Number(lo <= truth && truth <= hi));
  }

  rows(): PedigreeCoverageRow[] {
    const coverage = (what: string, held: readonly number[]): PedigreeCoverageRow =>
      row(`${this.#name}: 95 % intervals of ${what}`, held.length, mean(held), ...this.#bounds);
    return [
      coverage("breeding values", this.#animals),
      ...(this.#lines.length > 0 ? [coverage("lines against the others", this.#lines)] : []),
      ...(this.#heritability.length > 0 ? [coverage("the additive share", this.#heritability)] : []),
      ...(this.#reliability.length === 0
        ? []
        : [
            row(
              `${this.#name}: reliability less squared correlation`,
              this.#reliability.length,
              mean(this.#reliability),
              -0.08,
              0.08,
            ),
          ]),
      ...calibrationRows(this.#name, this.#chances),
    ];
  }
}

/** Intervals, reliabilities and chances of small flocks, as a flock's page tells them. */
function intervalRows(name: string, plan: FlockPlan, flocks: number, quick: boolean): PedigreeCoverageRow[] {
  const held = new Held(name, quick);
  const { animal, line, permanent, pen } = plan.variances;
  for (let f = 0; f < flocks; f++) {
    const made = fittedFlock(plan, 50_000 + f);
    const average =
      made === undefined
        ? undefined
        : averageOverVariances(made.model, made.fit.variances, { seed: SEED + f });
    if (made === undefined || average === undefined) continue;
    const { flock, model, fit } = made;
    const heritable = fit.variances[0] > 0;
    held.note(
      flock,
      plan,
      model,
      average,
      heritable ? (base) => breedingValues(model, fit.variances, base).reliability : null,
    );
    const told = {
      flock: name,
      trait: "growth" as const,
      names: model.names,
      variances: fit.variances,
      standardErrors: null,
      average,
      beside: 0,
      heritable,
    };
    held.noteHeritability(animal / (animal + line + permanent + pen), geneticVariances(told));
  }
  return held.rows();
}

/** The liability of a yes-or-no trait: bias before and after its removal, intervals, values and lines. */
function liabilityRows(plan: FlockPlan, flocks: number, quick: boolean): PedigreeCoverageRow[] {
  const truth = plan.variances.animal;
  const fitted: number[] = [];
  const unbiased: number[] = [];
  const limits: number[] = [];
  const held = new Held("lameness, 180 goats", quick);
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
    limits.push(Number(truth >= lo && truth <= hi));
    const variances = unbiasedVariances(fit, bootstrap);
    const average = averageOverLiabilityVariances(model, fit, variances, { seed: SEED + f });
    const shows = additiveVarianceShows(model, fit);
    held.note(
      flock,
      plan,
      model,
      average,
      shows ? (base) => liabilityValues(model, variances, base).reliability : null,
    );
  }
  const allowed = Math.max(0.1 * truth, 2 * standardError(unbiased));
  const band = 0.005 + 2.6 * Math.sqrt((0.95 * 0.05) / limits.length);
  return [
    row("liability variance as fitted (no bound)", fitted.length, mean(fitted), 0, Number.POSITIVE_INFINITY),
    row(
      "liability variance, bias removed",
      unbiased.length,
      mean(unbiased),
      truth - allowed,
      truth + allowed,
    ),
    row("95 % intervals of the liability variance", limits.length, mean(limits), 0.95 - band, 0.95 + band),
    ...held.rows(),
  ];
}

/** Chances from 0.85 to 0.95, of one side or the other: right 85 to 95 times in 100, give or take their own error. */
function calibrationRows(
  name: string,
  chances: readonly { readonly chance: number; readonly happened: number }[],
): PedigreeCoverageRow[] {
  const sure = chances
    .map(({ chance, happened }) =>
      chance >= 0.5 ? { chance, happened } : { chance: 1 - chance, happened: 1 - happened },
    )
    .filter(({ chance }) => chance >= 0.85 && chance <= 0.95);
  if (sure.length < 30) return [];
  const error = Math.sqrt((0.9 * 0.1) / sure.length);
  const said = (100 * mean(sure.map((c) => c.chance))).toFixed(0);
  const what = `${name}: right about a line at chances of 0.85 to 0.95 (${said} % said, ${sure.length} lines)`;
  return [row(what, sure.length, mean(sure.map((c) => c.happened)), 0.85 - error, 0.95 + error)];
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
