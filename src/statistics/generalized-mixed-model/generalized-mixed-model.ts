import { unfit, whyNot } from "../generalized-linear/linear-model-input.ts";
import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { withoutReplication } from "./identification.ts";
import { type MarginalLikelihood, marginalLikelihood, type TermEffects } from "./marginal-likelihood.ts";
import { type Maximum, maximiseMarginalLikelihood } from "./maximise-marginal-likelihood.ts";
import type { GeneralizedMixedInput, MixedModel } from "./model-input.ts";
import { fixedPart, parseMixedModel } from "./parse-mixed-model.ts";
import { startingCoefficients, startingTheta } from "./starting-values.ts";
import { columnSigns, termCovariance, thetaNames, thetaStarts } from "./term-factor.ts";

export interface MixedModelOptions {
  /** Quadrature points: 1 (default) is Laplace's approximation; more need one effect of one grouping factor. */
  readonly points?: number;
  /** θ to hold fixed; only the coefficients are then estimated. */
  readonly theta?: ArrayLike<number>;
  /** Coefficients and θ to start from. */
  readonly start?: { readonly coefficients: ArrayLike<number>; readonly theta: ArrayLike<number> };
}

/** What a fit says of one random term. */
interface FittedTerm extends TermEffects {
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
  const problem = prepareGeneralizedMixedModel(model, options.points);
  return "verdict" in problem ? problem : solveGeneralizedMixedModel(problem, options);
}

/** A model whose conditions were checked and whose likelihood stands ready for any number of fits. */
export interface MixedModelProblem {
  readonly model: MixedModel;
  readonly points: number;
  readonly likelihood: MarginalLikelihood;
  readonly start: { readonly coefficients: Float64Array; readonly theta: Float64Array };
}

/** Checks a model and lays out its likelihood once, for many fits at held or free θ. */
export function prepareGeneralizedMixedModel(model: MixedModel, points = 1): MixedModelProblem | Unfit {
  const fixed = fixedPart(model);
  const trouble = whyNot(fixed) ?? withoutReplication(model);
  if (trouble !== null) return trouble;
  const likelihood = marginalLikelihood(model, points);
  if ("verdict" in likelihood) return likelihood;
  const coefficients = startingCoefficients(model, fixed);
  if ("verdict" in coefficients) return coefficients;
  return { model, points, likelihood, start: { coefficients, theta: startingTheta(model) } };
}

/** One fit of a prepared model; `points` was settled when it was prepared. */
export function solveGeneralizedMixedModel(
  problem: MixedModelProblem,
  options: Omit<MixedModelOptions, "points"> = {},
): GeneralizedMixedFit | Unfit {
  const { coefficients: p, thetas } = problem.likelihood;
  const coefficients = options.start?.coefficients ?? problem.start.coefficients;
  const theta = options.theta ?? options.start?.theta ?? problem.start.theta;
  if (coefficients.length !== p || theta.length !== thetas) {
    return unfit("invalid_input", `start or θ of wrong length: ${p} coefficients, ${thetas} in θ`);
  }
  const start = Float64Array.from({ length: p + thetas }, (_, k) => (k < p ? coefficients[k] : theta[k - p]));
  const { model, likelihood } = problem;
  const maximum = maximiseMarginalLikelihood(model, likelihood, start, options.theta !== undefined);
  return "verdict" in maximum ? maximum : report(problem, maximum, start);
}

function report(
  problem: MixedModelProblem,
  found: Maximum,
  start: Float64Array,
): GeneralizedMixedFit | Unfit {
  const { model, likelihood, points } = problem;
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
    verdict: found.singular ? "singular" : "converged",
    model,
    points,
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
      start: Array.from(start),
      end: Array.from(point),
      objective: found.state.value,
      evaluations: found.evaluations,
      largestGradient: found.state.gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
    },
  };
}
