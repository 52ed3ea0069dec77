import {
  averageSumsOverVariances,
  type SumAndPart,
  type SumsAverage,
  type WeightedSum,
} from "../statistics/linear-mixed-model/average-sums.ts";
import { differentiateCriterion, solveMixedModel } from "../statistics/linear-mixed-model/criterion.ts";
import {
  type FittedLinearMixed,
  runLinearMixedModel,
} from "../statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import type { LinearCombination } from "../statistics/linear-mixed-model/linear-combinations.ts";
import {
  type LinearMixedDesign,
  linearMixedDesign,
} from "../statistics/linear-mixed-model/linear-mixed-design.ts";
import { orthonormalColumns } from "../statistics/linear-mixed-model/orthonormal-columns.ts";
import { predictedEffects } from "../statistics/linear-mixed-model/predicted-effects.ts";
import type { RandomTerm } from "../statistics/mixed-model-terms.ts";
import type { Unfit } from "../statistics/verdict.ts";
import { type GrowthDesign, type GrowthTermId, growthTerms } from "./growth-design.ts";
import { rulerStep } from "./ruler-step.ts";

/** The growth model laid out for some random terms, its variances not yet known. */
export interface GrowthFrame {
  readonly design: GrowthDesign;
  readonly prepared: LinearMixedDesign;
  /** Fixed columns in the model, by position in the design; those that others already said are left out. */
  readonly fixed: readonly number[];
  /** Random terms in the model, in its order. */
  readonly terms: readonly GrowthTermId[];
}

/**
 * The mixed model of a flock's growth (see `growthDesign`) fitted by restricted maximum likelihood, with the terms that
 * its records can tell apart.
 */
export interface GrowthModel extends GrowthFrame {
  readonly fit: FittedLinearMixed;
  /** Terms that the records hold but cannot tell apart from the others. */
  readonly untold: readonly GrowthTermId[];
  /** Standard deviation over which a reading is rounded against the model's own residual, at least 1. */
  readonly floor: number;
}

/** Dropped in this order while the variances cannot be told apart: what costs the figures least first. */
const DROPPED_FIRST: readonly GrowthTermId[] = [
  "visit",
  "reading",
  "claw",
  "month",
  "pen_month",
  "interval",
  "pen",
];

/** Fits the growth model of a flock. A fit without estimates says why. */
export function fitGrowthModel(design: GrowthDesign): GrowthModel | Unfit {
  let terms = growthTerms.filter((id) => design.random[id] !== undefined && id !== "visit");
  const untold: GrowthTermId[] = [];
  for (;;) {
    const frame = growthFrame(design, terms);
    const fit = "trouble" in frame ? frame : runLinearMixedModel(frame.prepared);
    if (!("trouble" in fit)) {
      const base = { ...(frame as GrowthFrame), fit };
      const chosen = (design.random.visit === undefined ? null : withVisit(base)) ?? base;
      return { ...chosen, untold, floor: roundingFloor(design, chosen.fit.sigmaSquared) };
    }
    const untellable = fit.trouble === "not_identified" || fit.trouble === "too_few_groups";
    const next = untellable ? DROPPED_FIRST.find((id) => terms.includes(id)) : undefined;
    if (next === undefined) return fit;
    untold.push(next);
    terms = terms.filter((id) => id !== next);
  }
}

/** Lays the model out with the given random terms, which the design must hold. */
export function growthFrame(design: GrowthDesign, terms: readonly GrowthTermId[]): GrowthFrame | Unfit {
  const fixed = independentColumns(design);
  const prepared = linearMixedDesign({
    outcome: design.rows.growth,
    weights: design.weights,
    fixed: {
      names: fixed.map((k) => design.fixed.names[k]!),
      columns: fixed.map((k) => design.fixed.columns[k]!),
    },
    random: terms.map((id) => design.random[id] as RandomTerm),
  });
  return "trouble" in prepared ? prepared : { design, prepared, fixed, terms };
}

/** Twice the gain in log-likelihood from which a variance lies above zero: p = 0.05 of its half chi-square. */
const ABOVE_ZERO = 2.71;
/** A standard deviation of a visit as good as zero, in those of the residual, at which the likelihood's slope is taken. */
const NEXT_TO_ZERO = 1e-3;

/**
 * The fit with a term of what all readings of one animal on one day share, where its variance lies above zero; null
 * where it does not. The likelihood is even in a standard deviation: where it falls from zero on, the estimate is zero.
 */
function withVisit({
  design,
  terms,
  fit: without,
}: GrowthFrame & { readonly fit: FittedLinearMixed }):
  | (GrowthFrame & { readonly fit: FittedLinearMixed })
  | null {
  const frame = growthFrame(design, [...terms, "visit"]);
  if ("trouble" in frame) return null;
  const { prepared } = frame;
  const theta = [...without.solution.theta].map((one) => Math.max(one, NEXT_TO_ZERO));
  const near = solveMixedModel(prepared, "REML", [...theta, NEXT_TO_ZERO]);
  if (near === undefined) return null;
  const slope = differentiateCriterion(prepared, "REML", near);
  const degrees = prepared.rows - prepared.fixedCount;
  const last = theta.length;
  const rise =
    slope.logDeterminants[last]! + (degrees * slope.penalizedSquares[last]!) / near.penalizedSquares;
  if (rise >= 0) return null;
  const fit = runLinearMixedModel(prepared, { start: [...theta, 0.2] });
  if ("trouble" in fit || 2 * (fit.logLikelihood - without.logLikelihood) < ABOVE_ZERO) return null;
  return { ...frame, fit };
}

/** The effects that means of growth are put together from: fixed effects, animals, pens, pen-months, months. */
export interface GrowthParts {
  readonly parts: readonly LinearCombination[];
  /** Part of fixed effect k of the fit; that of the animal term's first level; −1 without such a term. */
  readonly animalAt: number;
}

/** Terms that a mean of growth is about: an animal's one interval and how a reading errs are not. */
const OF_THE_MEAN: readonly GrowthTermId[] = ["animal", "pen", "pen_month", "month"];

/** Parts of means of growth, each effect one. */
export function growthParts({ design, fixed, terms }: GrowthFrame): GrowthParts {
  const count = fixed.length;
  const parts: LinearCombination[] = Array.from({ length: count }, (_, k) => ({
    fixed: Float64Array.from({ length: count }, (_, j) => (j === k ? 1 : 0)),
  }));
  let animalAt = -1;
  terms.forEach((id, term) => {
    if (!OF_THE_MEAN.includes(id)) return;
    if (id === "animal") animalAt = parts.length;
    for (let level = 0; level < design.random[id]!.levels; level++) {
      parts.push({ random: [{ term, level, weight: 1 }] });
    }
  });
  return { parts, animalAt };
}

/**
 * Mean growth, mm per 30 days, over the days of some rows, as a sum of parts: fixed part and predicted effects of the
 * animals, pens, pen-months and months in which the days were spent. `share` weighs each row: 1 over the claws of its
 * interval counts every interval's days once. Growth is net of wear whatever the basis of a row.
 */
export function meanOverRows(
  { design, fixed, terms }: GrowthFrame,
  rows: ArrayLike<number>,
  share: ArrayLike<number>,
  withAnimals = true,
): WeightedSum {
  const counted = fixed.map((k) => !design.ofBasis.has(design.fixed.names[k]!));
  const sums = new Map<number, number>();
  const add = (part: number, weight: number): void => {
    if (weight !== 0) sums.set(part, (sums.get(part) ?? 0) + weight);
  };
  let months = 0;
  for (let r = 0; r < rows.length; r++) months += share[r]! * design.months[rows[r]!]!;
  for (let r = 0; r < rows.length; r++) {
    const row = rows[r]!;
    const weight = share[r]! / months;
    fixed.forEach((k, at) => {
      if (counted[at]) add(at, weight * design.fixed.columns[k]![row]!);
    });
    let first = fixed.length;
    for (const id of terms) {
      if (!OF_THE_MEAN.includes(id)) continue;
      const { membership, levels } = design.random[id]!;
      if (membership instanceof Int32Array) {
        if (withAnimals) add(first + membership[row]!, weight * design.months[row]!);
      } else {
        for (let e = membership.rowStart[row]!; e < membership.rowStart[row + 1]!; e++) {
          add(first + membership.level[e]!, weight * membership.weight[e]!);
        }
      }
      first += levels;
    }
  }
  return { part: Int32Array.from(sums.keys()), weight: Float64Array.from(sums.values()) };
}

/** Averages sums of the model's parts over the uncertainty of its variances; the ruler's rounding widens them. */
export function averageGrowth(
  model: GrowthModel,
  parts: readonly LinearCombination[],
  sums: readonly WeightedSum[],
  asked: readonly SumAndPart[],
  seed: number,
): SumsAverage | Unfit {
  const average = averageSumsOverVariances(model.fit, parts, sums, asked, { seed });
  if ("trouble" in average || model.floor === 1) return average;
  return { ...average, scales: average.scales.map((scale) => scale * model.floor) };
}

/** Residuals of the rows about their fixed part and all predicted effects, in residual standard deviations. */
export function standardisedResiduals({ design, fit, terms }: GrowthModel): Float64Array {
  const { rows, weights, random } = design;
  const residuals = Float64Array.from(rows.growth);
  fit.fixedEffects.forEach((effect, k) => {
    const column = fit.design.input.fixed.columns[k]!;
    for (let i = 0; i < residuals.length; i++) residuals[i]! -= effect * column[i]!;
  });
  predictedEffects(fit).forEach(({ values }, t) => {
    const { membership, effects } = random[terms[t]!]!;
    const column = effects?.[0];
    for (let i = 0; i < residuals.length; i++) {
      if (membership instanceof Int32Array) residuals[i]! -= values[membership[i]!]! * (column?.[i] ?? 1);
      else {
        for (let e = membership.rowStart[i]!; e < membership.rowStart[i + 1]!; e++) {
          residuals[i]! -= values[membership.level[e]!]! * membership.weight[e]!;
        }
      }
    }
  });
  const deviation = Math.sqrt(fit.sigmaSquared);
  return residuals.map((residual, i) => (residual * Math.sqrt(weights[i]!)) / deviation);
}

/** Weight that takes a row out of a fit without changing the fit's shape. */
const AS_GOOD_AS_NOTHING = 1e-6;

/** The same model without the weight of some rows. */
export function refitWithout(model: GrowthModel, left: ArrayLike<number>): FittedLinearMixed | Unfit {
  const { input } = model.fit.design;
  const weights = Float64Array.from(model.design.weights);
  for (let k = 0; k < left.length; k++) weights[left[k]!]! *= AS_GOOD_AS_NOTHING;
  const prepared = linearMixedDesign({ ...input, weights });
  return "trouble" in prepared
    ? prepared
    : runLinearMixedModel(prepared, { start: model.fit.solution.theta });
}

/** Fixed columns that no others already say, by position in the design. */
export function independentColumns(design: GrowthDesign): number[] {
  const { names, columns } = design.fixed;
  let kept = names.map((_, k) => k);
  for (;;) {
    const basis = orthonormalColumns(
      kept.map((k) => columns[k]!),
      design.weights,
    );
    if (basis.independent) return kept;
    const dependent = new Set(basis.dependent);
    kept = kept.filter((_, at) => !dependent.has(at));
  }
}

/**
 * The error of a difference of two readings cannot be below what rounding to the ruler's step alone makes it,
 * 2·step²/12; by how much standard deviations must grow for that.
 */
function roundingFloor({ rows }: GrowthDesign, sigmaSquared: number): number {
  const step = rulerStep(rows.growth);
  return step === null ? 1 : Math.sqrt(Math.max(1, (step * step) / 6 / sigmaSquared));
}
