import { type Curved, minimiseByNewton, type NewtonResult } from "../generalized-linear/damped-newton.ts";
import { unfit } from "../generalized-linear/linear-model-input.ts";
import { separates } from "../generalized-linear/separation.ts";
import { zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import { minimizeBounded } from "../optimise/bounded-quasi-newton.ts";
import type { Unfit } from "../verdict.ts";
import type { MarginalLikelihood } from "./marginal-likelihood.ts";
import type { MixedModel } from "./model-input.ts";
import { fixedPart } from "./parse-mixed-model.ts";
import { factorColumn, thetaNames } from "./term-factor.ts";
import { dropColumn, rising, vanishing } from "./vanished-variances.ts";

/** The maximum: all parameters, and value, gradient and Hessian over those that are free. */
export interface Maximum {
  readonly point: Float64Array;
  readonly state: Curved;
  readonly free: readonly number[];
  /** Whether a variance came down to zero and was pinned there. */
  readonly singular: boolean;
  readonly evaluations: number;
}

/**
 * Maximum of the marginal likelihood over (β, θ), or over β alone where θ is `held` at its start: a quasi-Newton
 * approach where curvature is dear, Newton's method to the end, variances that vanish pinned at zero and let go again
 * where the likelihood rises from there.
 */
export function maximiseMarginalLikelihood(
  model: MixedModel,
  likelihood: MarginalLikelihood,
  start: Float64Array,
  held: boolean,
): Maximum | Unfit {
  const p = likelihood.coefficients;
  const fixed = fixedPart(model);
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
    if (!found.converged) return whyUnconverged(model, found, evaluations);
    const wrong = held
      ? []
      : rising(model, likelihood, point, pinned, NEAR_ZERO).filter((k) => !released.has(k));
    if (wrong.length === 0) {
      const { state, free } = found;
      return { point, state, free, singular: !held && pinned.size > 0, evaluations };
    }
    for (const k of wrong) {
      released.add(k);
      for (const c of factorColumn(model, p, k)) pinned.delete(c);
      point[k] = 10 * NEAR_ZERO;
    }
  }
}

const LARGEST_THETA = 100;
const VANISHED = 1e-4;
const NEAR_ZERO = 0.03;

/** A ridge of equal likelihood is told apart from a search that got stuck. */
function whyUnconverged(model: MixedModel, found: FreeResult, evaluations: number): Unfit {
  const { gradient, hessian } = found.state;
  const n = gradient.length;
  const scale = gradient.map((_, k) => 1 / Math.sqrt(Math.abs(hessian.values[k * n + k]) || 1));
  const values = hessian.values.map((h, e) => h * scale[Math.floor(e / n)] * scale[e % n]);
  const { values: curvatures, vectors } = symmetricEigen({ rows: n, columns: n, values });
  const steepest = gradient.reduce((most, g, k) => Math.max(most, Math.abs(g * scale[k])), 0);
  if (curvatures[0] > 1e-5 || steepest > 1e-3) return unfit("not_converged", `${evaluations} evaluations`);
  const names = [...model.fixedNames, ...thetaNames(model)];
  const along = found.free.filter((_, k) => Math.abs(vectors.values[k * n]) > 0.2);
  const several = along.map((k) => names[k]).join(", ");
  return unfit("not_identified", `the likelihood is flat along ${several}`, "flat");
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
    const all = likelihood.curved(spread(part), free);
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
