import { type Curved, minimiseByNewton, type NewtonResult } from "../generalized-linear/damped-newton.ts";
import { runGeneralizedLinearModel } from "../generalized-linear/generalized-linear-model.ts";
import { type LinearModelData, unfit, whyNot } from "../generalized-linear/linear-model-input.ts";
import { separates } from "../generalized-linear/separation.ts";
import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { minimizeBounded } from "../optimise/bounded-quasi-newton.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { type MarginalLikelihood, marginalLikelihood, type TermEffects } from "./marginal-likelihood.ts";
import type { GeneralizedMixedInput, MixedModel } from "./model-input.ts";
import { fixedPart, parseMixedModel } from "./parse-mixed-model.ts";
import {
  columnSigns,
  diagonalThetas,
  factorColumn,
  termCovariance,
  thetaNames,
  thetaStarts,
} from "./term-factor.ts";
import { dropColumn, rising, vanishing } from "./vanished-variances.ts";

export interface MixedModelOptions {
  /** Quadrature points: 1 (default) is Laplace's approximation; more need one effect of one grouping factor. */
  readonly points?: number;
  /** θ to hold fixed; only the coefficients are then estimated. */
  readonly theta?: ArrayLike<number>;
  /** Coefficients and θ to start from. */
  readonly start?: { readonly coefficients: ArrayLike<number>; readonly theta: ArrayLike<number> };
}

/** What a fit says of one random term. */
export interface FittedTerm extends TermEffects {
  readonly name: string;
  /** Covariance of the term's effects between levels. */
  readonly betweenLevels: DenseMatrix;
  readonly standardDeviations: Float64Array;
}

/**
 * A fitted model; `singular` when a standard deviation is estimated as zero. Covariances come from the full Hessian
 * of the marginal log-likelihood over (β, θ), so that those of β allow for θ being estimated; parameters at their
 * bound or held fixed have zero rows and columns there.
 */
export interface GeneralizedMixedFit {
  readonly verdict: "converged" | "singular";
  readonly model: MixedModel;
  readonly points: number;
  readonly coefficients: Float64Array;
  readonly covariance: DenseMatrix;
  readonly standardErrors: Float64Array;
  readonly theta: Float64Array;
  readonly thetaNames: readonly string[];
  readonly jointCovariance: DenseMatrix;
  readonly terms: readonly FittedTerm[];
  /** With its constant in the data. */
  readonly logLikelihood: number;
  readonly search: SearchRecord;
}

/**
 * Maximum likelihood of a generalized linear mixed model: binomial (logit, complementary log-log) or poisson (log),
 * any number of nested, crossed, slope and multiple-membership terms. β and θ are estimated jointly with the exact
 * gradient of the approximated likelihood. Named conditions instead of estimates: those of the fixed part (no rows,
 * no events, constant outcome, rank deficiency, separation), too few groups, not identified, not converged.
 */
export function fitGeneralizedMixedModel(
  input: GeneralizedMixedInput,
  options: MixedModelOptions = {},
): GeneralizedMixedFit | Unfit {
  const model = parseMixedModel(input);
  return "verdict" in model ? model : runGeneralizedMixedModel(model, options);
}

/** The fit on a parsed model. */
export function runGeneralizedMixedModel(
  model: MixedModel,
  options: MixedModelOptions = {},
): GeneralizedMixedFit | Unfit {
  const fixed = fixedPart(model);
  const trouble = whyNot(fixed) ?? withoutReplication(model);
  if (trouble !== null) return trouble;
  const likelihood = marginalLikelihood(model, options.points ?? 1);
  if ("verdict" in likelihood) return likelihood;
  const linear = startingCoefficients(model, fixed);
  if ("verdict" in linear) return linear;
  const start = startingParameters(model, likelihood, linear, options);
  if (start === null) return unfit("invalid_input", "start or theta has the wrong length");
  return search(model, likelihood, start, options);
}

const SAMPLE = 20_000;
const LARGEST_THETA = 100;
const VANISHED = 1e-4;
const NEAR_ZERO = 0.03;

function search(
  model: MixedModel,
  likelihood: MarginalLikelihood,
  start: Float64Array,
  options: MixedModelOptions,
): GeneralizedMixedFit | Unfit {
  const p = likelihood.coefficients;
  const fixed = fixedPart(model);
  const held = options.theta !== undefined;
  const pinned = new Set<number>();
  if (held) for (let k = p; k < start.length; k++) pinned.add(k);
  const near =
    likelihood.roughHessian === null ? { point: start, evaluations: 0 } : approach(likelihood, start, pinned);
  let { point, evaluations } = near;
  if (!held && likelihood.roughHessian !== null) {
    for (const k of vanishing(model, likelihood, point, pinned, NEAR_ZERO)) {
      point = dropColumn(model, point, p, k, pinned);
    }
  }
  const released = new Set<number>();
  for (;;) {
    let runaway = -1;
    let separated = false;
    const found = minimiseFree(likelihood, point, pinned, (parameters, step) => {
      runaway = parameters.findIndex((value, k) => k >= p && Math.abs(value) > LARGEST_THETA);
      separated = separates(fixed, step.subarray(0, p));
      return separated || runaway >= 0;
    });
    if (found === null) return unfit("not_converged", "no likelihood at the start");
    evaluations += found.evaluations;
    if (separated) return unfit("perfect_separation", "the fixed effects");
    if (runaway >= 0) {
      return unfit("not_identified", `${thetaNames(model)[runaway - p]} grows without bound`, "flat");
    }
    point = found.point;
    const limit = found.converged ? VANISHED : NEAR_ZERO;
    const vanished = held ? [] : vanishing(model, likelihood, point, pinned, limit);
    if (vanished.length > 0) {
      for (const k of vanished) point = dropColumn(model, point, p, k, pinned);
      continue;
    }
    if (!found.converged) return unfit("not_converged", `${evaluations} evaluations`);
    const wrong = held
      ? []
      : rising(model, likelihood, point, pinned, NEAR_ZERO).filter((k) => !released.has(k));
    if (wrong.length === 0) return report(model, likelihood, found, pinned, { start, evaluations, options });
    for (const k of wrong) {
      released.add(k);
      for (const c of factorColumn(model, p, k)) pinned.delete(c);
      point[k] = 10 * NEAR_ZERO;
    }
  }
}

/** Quasi-Newton from afar, cheap in evaluations; its end point is refined with the true curvature. */
function approach(
  likelihood: MarginalLikelihood,
  start: Float64Array,
  pinned: ReadonlySet<number>,
): { point: Float64Array; evaluations: number } {
  const hessian = likelihood.roughHessian!(start);
  const n = start.length;
  const bound = (free: number) => start.map((value, k) => (pinned.has(k) ? value : free));
  const { point, evaluations } = minimizeBounded(likelihood.slope, start, {
    hessian,
    lower: bound(Number.NEGATIVE_INFINITY),
    upper: bound(Number.POSITIVE_INFINITY),
    scale: Float64Array.from({ length: n }, (_, k) => 1 / Math.sqrt(hessian.values[k * n + k])),
    radius: 3,
    tolerance: 1e-9,
  });
  for (const k of pinned) point[k] = start[k];
  return { point, evaluations };
}

interface FreeResult extends NewtonResult<Curved> {
  readonly free: readonly number[];
}

/** Newton over the parameters that are not pinned; the point that comes back has all of them. */
function minimiseFree(
  likelihood: MarginalLikelihood,
  start: Float64Array,
  pinned: ReadonlySet<number>,
  abandon: (parameters: Float64Array, step: Float64Array) => boolean,
): FreeResult | null {
  const free = Array.from(start.keys()).filter((k) => !pinned.has(k));
  const spread = (part: Float64Array, over = start) => {
    const all = Float64Array.from(over);
    free.forEach((k, at) => {
      all[k] = part[at];
    });
    return all;
  };
  const objective = (part: Float64Array): Curved | null => {
    const all = likelihood.curved(spread(part));
    if (all === null) return null;
    const n = free.length;
    const hessian = zeroMatrix(n, n);
    for (let a = 0; a < n; a++) {
      for (let b = 0; b < n; b++) {
        hessian.values[a * n + b] = all.hessian.values[free[a] * start.length + free[b]];
      }
    }
    return { value: all.value, gradient: Float64Array.from(free, (k) => all.gradient[k]), hessian };
  };
  const result = minimiseByNewton(
    objective,
    Float64Array.from(free, (k) => start[k]),
    {
      tolerance: 1e-11,
      abandon: (part, step) => abandon(spread(part), spread(step, new Float64Array(start.length))),
    },
  );
  return result === null ? null : { ...result, point: spread(result.point), free };
}

/**
 * Estimates of the fixed part alone. The marginal likelihood has no maximum where that of the fixed part has none,
 * so its separation is named here; of very many rows a sample gives the start, and separation shows in the search.
 */
function startingCoefficients(model: MixedModel, fixed: LinearModelData): Float64Array | Unfit {
  const stride = Math.floor(model.rows / SAMPLE);
  if (stride >= 4) {
    const sample = fixedPart(model, stride);
    const fit = whyNot(sample) ?? runGeneralizedLinearModel(sample, { tolerance: 1e-6 });
    if (fit.verdict === "converged") return fit.coefficients;
  }
  const fit = runGeneralizedLinearModel(fixed, { tolerance: 1e-6 });
  return fit.verdict === "converged" ? fit.coefficients : fit;
}

function startingParameters(
  model: MixedModel,
  likelihood: MarginalLikelihood,
  linear: Float64Array,
  options: MixedModelOptions,
): Float64Array | null {
  const { coefficients: p, thetas } = likelihood;
  const coefficients = options.start?.coefficients ?? linear;
  const typical = new Float64Array(thetas);
  for (const k of diagonalThetas(model)) typical[k] = 0.7;
  const theta = options.theta ?? options.start?.theta ?? typical;
  if (coefficients.length !== p || theta.length !== thetas) return null;
  return Float64Array.from({ length: p + thetas }, (_, k) => (k < p ? coefficients[k] : theta[k - p]));
}

/**
 * A random intercept with one binary trial a level cannot be told from the link's own spread; the only one, if its
 * levels are all or nothing, has a standard deviation without bound.
 */
function withoutReplication(model: MixedModel): Unfit | null {
  if (model.family.distribution !== "binomial") return null;
  for (const { membership, effectValues, levels, name } of model.terms) {
    if (effectValues !== null || !(membership instanceof Int32Array)) continue;
    const trials = new Float64Array(levels);
    const events = new Float64Array(levels);
    for (let i = 0; i < model.rows; i++) {
      trials[membership[i]] += model.size[i];
      events[membership[i]] += model.total[i];
    }
    if (trials.every((n) => n <= 1)) return unfit("not_identified", `${name}: one trial a level`, "flat");
    if (model.terms.length === 1 && events.every((y, l) => y === 0 || y === trials[l])) {
      return unfit("not_identified", `${name}: every level is all events or none`, "flat");
    }
  }
  return null;
}

function report(
  model: MixedModel,
  likelihood: MarginalLikelihood,
  found: FreeResult,
  pinned: ReadonlySet<number>,
  way: { start: Float64Array; evaluations: number; options: MixedModelOptions },
): GeneralizedMixedFit | Unfit {
  const p = likelihood.coefficients;
  const size = p + likelihood.thetas;
  const factor = denseCholesky(found.state.hessian);
  if (!factor.positiveDefinite) return unfit("not_identified", "flat likelihood", "flat");
  const free = inverseDense(factor);
  const signs = columnSigns(model, found.point, p);
  const point = found.point.map((value, k) => value * signs[k]);
  const jointCovariance = zeroMatrix(size, size);
  found.free.forEach((j, a) => {
    found.free.forEach((k, b) => {
      const entry = free.values[a * free.rows + b] * signs[j] * signs[k];
      jointCovariance.values[j * size + k] = entry;
    });
  });
  const covariance = zeroMatrix(p, p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) covariance.values[j * p + k] = jointCovariance.values[j * size + k];
  }
  const effects = likelihood.effects(point);
  if (effects === null) return unfit("not_converged", "no modes at the estimates");
  const starts = thetaStarts(model);
  const theta = point.slice(p);
  return {
    verdict: way.options.theta === undefined && pinned.size > 0 ? "singular" : "converged",
    model,
    points: way.options.points ?? 1,
    coefficients: point.slice(0, p),
    covariance,
    standardErrors: Float64Array.from({ length: p }, (_, j) => Math.sqrt(covariance.values[j * p + j])),
    theta,
    thetaNames: thetaNames(model),
    jointCovariance,
    terms: model.terms.map((term, t) => {
      const betweenLevels = termCovariance(term, theta.subarray(starts[t]));
      return {
        ...effects[t],
        name: term.name,
        betweenLevels,
        standardDeviations: Float64Array.from({ length: term.effectCount }, (_, a) =>
          Math.sqrt(betweenLevels.values[a * term.effectCount + a]),
        ),
      };
    }),
    logLikelihood: model.logConstant - found.state.value,
    search: {
      start: Array.from(way.start),
      end: Array.from(point),
      objective: found.state.value,
      evaluations: way.evaluations,
      largestGradient: found.state.gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
    },
  };
}
