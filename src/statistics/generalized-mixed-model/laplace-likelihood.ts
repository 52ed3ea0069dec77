import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import {
  inverseOnPattern,
  type SelectedInverse,
  selectedInverse,
} from "../linear-algebra/selected-inverse.ts";
import { factorize, logDeterminant, type SparseFactor, solve } from "../linear-algebra/sparse-cholesky.ts";
import { symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import type { Slope } from "../optimise/bounded-quasi-newton.ts";
import type { MixedModel } from "./model-input.ts";
import { type RandomDesign, randomDesign } from "./random-design.ts";
import { type RowDerivatives, rowLikelihoodOf } from "./row-likelihood.ts";
import { thetaPlace } from "./term-factor.ts";

/**
 * Laplace's approximation to the marginal likelihood for any number of random terms of any structure (Breslow &
 * Clayton 1993, J. Am. Stat. Assoc. 88:9-25, with the observed information in the determinant). Parameters are
 * (β, θ); values are negative log-likelihoods without the data's constant.
 */
export interface LaplaceLikelihood {
  readonly coefficients: number;
  readonly thetas: number;
  /** Value and exact gradient, through the implicit derivative of the modes; an infinite value outside the domain. */
  readonly slope: (parameters: Float64Array) => Slope;
  readonly value: (parameters: Float64Array) => number;
  /** A cheap positive definite stand-in for the Hessian: exact in β for fixed weights, moment-based in θ. */
  readonly roughHessian: (parameters: Float64Array) => DenseMatrix;
  /** Standardised modes and the sparse inverse of their curvature on its pattern. */
  readonly conditional: (parameters: Float64Array) => Conditional | null;
}

interface Conditional {
  readonly design: RandomDesign;
  readonly mode: Float64Array;
  /** Covariance of two standardised effects given the data and the parameters; both must meet in some row. */
  readonly covariance: (i: number, j: number) => number;
}

export function laplaceLikelihood(model: MixedModel): LaplaceLikelihood {
  const design = randomDesign(model);
  const { rows } = model;
  const { order, rowStart, coordinate, slotTheta, loadStart, load, pairStart, pairPlace } = design;
  const p = model.fixedNames.length;
  const likelihood = rowLikelihoodOf(model.family);
  const symbolic = symbolicCholesky(design.pattern);
  const curvatureValues = new Float64Array(design.pattern.rowIndex.length);
  const diagonal = design.pattern.columnStart;
  const z = new Float64Array(coordinate.length);
  const base = new Float64Array(rows);
  const eta = new Float64Array(rows);
  const derivatives: RowDerivatives = {
    score: new Float64Array(rows),
    weight: new Float64Array(rows),
    weightSlope: new Float64Array(rows),
    weightCurvature: new Float64Array(rows),
  };
  const mode = new Float64Array(order);
  let factor: SparseFactor | undefined;
  let selected: SelectedInverse | undefined;
  return { coefficients: p, thetas: design.thetas, slope, value, roughHessian, conditional };

  function value(parameters: Float64Array): number {
    const joint = findModes(parameters);
    return joint === null || factor === undefined
      ? Number.POSITIVE_INFINITY
      : joint + logDeterminant(factor) / 2;
  }

  function slope(parameters: Float64Array): Slope {
    const gradient = new Float64Array(p + design.thetas);
    const joint = findModes(parameters);
    if (joint === null || factor === undefined) return { value: Number.POSITIVE_INFINITY, gradient };
    likelihood.allDerivatives(eta, 0, model.total, model.size, 0, rows, derivatives);
    const { score, weight, weightSlope } = derivatives;
    const inverse = inverseValues();

    // Half the derivative of each row's variance term, and the push that it gives the modes.
    const leverageSlope = new Float64Array(rows);
    const rowCovariance = new Float64Array(coordinate.length);
    const push = new Float64Array(order);
    for (let i = 0; i < rows; i++) {
      const from = rowStart[i];
      let at = pairStart[i];
      for (let s = from; s < rowStart[i + 1]; s++) {
        for (let r = from; r < s; r++, at++) {
          const entry = inverse[pairPlace[at]];
          rowCovariance[s] += entry * z[r];
          rowCovariance[r] += entry * z[s];
        }
        rowCovariance[s] += inverse[pairPlace[at]] * z[s];
        at += 1;
      }
      let variance = 0;
      for (let s = from; s < rowStart[i + 1]; s++) variance += z[s] * rowCovariance[s];
      leverageSlope[i] = 0.5 * variance * weightSlope[i];
      for (let s = from; s < rowStart[i + 1]; s++) push[coordinate[s]] += z[s] * leverageSlope[i];
    }
    const pull = solve(factor, push);
    for (let i = 0; i < rows; i++) {
      let along = 0;
      for (let s = rowStart[i]; s < rowStart[i + 1]; s++) along += z[s] * pull[coordinate[s]];
      const byEta = leverageSlope[i] - score[i] - weight[i] * along;
      for (let j = 0; j < p; j++) gradient[j] += byEta * model.design[i * p + j];
      for (let s = rowStart[i]; s < rowStart[i + 1]; s++) {
        const c = coordinate[s];
        const byFactor = byEta * mode[c] + weight[i] * rowCovariance[s] + score[i] * pull[c];
        const theta = p + slotTheta[s] - loadStart[s];
        for (let e = loadStart[s]; e < loadStart[s + 1]; e++) gradient[theta + e] += byFactor * load[e];
      }
    }
    return { value: joint + logDeterminant(factor) / 2, gradient };
  }

  function roughHessian(parameters: Float64Array): DenseMatrix {
    const size = p + design.thetas;
    const result = zeroMatrix(size, size);
    for (let k = 0; k < size; k++) result.values[k * size + k] = 1;
    if (findModes(parameters) === null || factor === undefined) return result;
    const { weight } = derivatives;
    const loads = Array.from({ length: p }, () => new Float64Array(order));
    for (let j = 0; j < p; j++) {
      for (let k = 0; k <= j; k++) {
        let sum = 0;
        for (let i = 0; i < rows; i++) sum += weight[i] * model.design[i * p + j] * model.design[i * p + k];
        result.values[j * size + k] = sum;
      }
      for (let i = 0; i < rows; i++) {
        const wx = weight[i] * model.design[i * p + j];
        for (let s = rowStart[i]; s < rowStart[i + 1]; s++) loads[j][coordinate[s]] += wx * z[s];
      }
    }
    for (let j = 0; j < p; j++) {
      const solved = solve(factor, loads[j]);
      for (let k = 0; k <= j; k++) {
        let sum = 0;
        for (let c = 0; c < order; c++) sum += loads[k][c] * solved[c];
        result.values[j * size + k] -= sum;
        result.values[k * size + j] = result.values[j * size + k];
      }
    }
    const inverse = inverseValues();
    model.terms.forEach((term, t) => {
      for (let a = 0; a < term.effectCount; a++) {
        for (let b = term.independent ? a : 0; b <= a; b++) {
          let information = 0;
          for (let level = 0; level < term.levels; level++) {
            const c = design.termStart[t] + level * term.effectCount;
            // How far the data tell on an effect: 0 none, 1 all.
            const known = 1 - inverse[diagonal[c + a]];
            information += known * (1 - inverse[diagonal[c + b]]);
          }
          const scale = parameters[p + design.thetaStart[t] + thetaPlace(term, a, a)];
          const at = p + design.thetaStart[t] + thetaPlace(term, a, b);
          result.values[at * size + at] = Math.max(
            1e-2,
            ((a === b ? 2 : 1) * information) / (scale * scale || 1),
          );
        }
      }
    });
    return result;
  }

  function conditional(parameters: Float64Array): Conditional | null {
    if (findModes(parameters) === null || factor === undefined) return null;
    const inverse = inverseOnPattern(selectedInverse(factor), design.pattern);
    return {
      design,
      mode: Float64Array.from(mode),
      covariance: (i, j) => {
        const column = Math.min(i, j);
        const row = Math.max(i, j);
        for (let e = inverse.columnStart[column]; e < inverse.columnStart[column + 1]; e++) {
          if (inverse.rowIndex[e] === row) return inverse.values[e];
        }
        return 0;
      },
    };
  }

  function inverseValues(): Float64Array {
    selected = selectedInverse(factor!, selected);
    return inverseOnPattern(selected, design.pattern).values;
  }

  /**
   * Modes at the parameters, from the last ones or, should these lie too far away, from zero. Returns the negative
   * joint log-likelihood there, leaving predictors, scores, weights and the factor of the curvature behind.
   */
  function findModes(parameters: Float64Array): number | null {
    for (let i = 0; i < rows; i++) {
      let sum = model.offset[i];
      for (let j = 0; j < p; j++) sum += model.design[i * p + j] * parameters[j];
      base[i] = sum;
    }
    fillSlots(parameters);
    const joint = searchModes();
    if (joint !== null) return joint;
    mode.fill(0);
    factor = undefined;
    return searchModes();
  }

  /** Penalised iteratively reweighted least squares with step halving. */
  function searchModes(): number | null {
    let joint = jointAt(mode);
    if (!Number.isFinite(joint)) return null;
    let before = Number.POSITIVE_INFINITY;
    for (let iteration = 0; iteration < 200; iteration++) {
      likelihood.scoreAndWeight(eta, 0, model.total, model.size, 0, rows, derivatives);
      const descent = modeDescent();
      // Close to the mode an older factor still contracts the error well and spares the factorisation.
      let fresh = factor === undefined || iteration % 8 === 7;
      if (fresh && !refactor()) return null;
      let step = solve(factor!, descent);
      let decrement = dot(step, descent);
      if (!fresh && decrement > 1e-2 * Math.min(before, 1)) {
        if (!refactor()) return null;
        fresh = true;
        step = solve(factor!, descent);
        decrement = dot(step, descent);
      }
      if (decrement < MODE_TOLERANCE) return fresh || refactor() ? joint : null;
      before = decrement;
      const next = halveUntilLower(step, joint, decrement);
      if (next === null) return null;
      joint = next;
    }
    return null;
  }

  /** Gradient of the joint log-likelihood in the standardised effects. */
  function modeDescent(): Float64Array {
    const { score } = derivatives;
    const descent = mode.map((u) => -u);
    for (let i = 0; i < rows; i++) {
      for (let s = rowStart[i]; s < rowStart[i + 1]; s++) descent[coordinate[s]] += z[s] * score[i];
    }
    return descent;
  }

  /** Factors Z'WZ + I at the current weights. */
  function refactor(): boolean {
    const { weight } = derivatives;
    curvatureValues.fill(0);
    for (let c = 0; c < order; c++) curvatureValues[diagonal[c]] = 1;
    for (let i = 0; i < rows; i++) {
      let at = pairStart[i];
      for (let s = rowStart[i]; s < rowStart[i + 1]; s++) {
        const wz = weight[i] * z[s];
        // Two slots of one coordinate (a level named twice) meet both ways round.
        for (let r = rowStart[i]; r < s; r++, at++) {
          curvatureValues[pairPlace[at]] += (coordinate[r] === coordinate[s] ? 2 : 1) * wz * z[r];
        }
        curvatureValues[pairPlace[at]] += wz * z[s];
        at += 1;
      }
    }
    const next = factorize(symbolic, curvatureValues, factor);
    factor = next.positiveDefinite ? next : undefined;
    return next.positiveDefinite;
  }

  /** Moves the modes along a step, halved until the joint likelihood does not fall; the new value. */
  function halveUntilLower(step: Float64Array, joint: number, decrement: number): number | null {
    const from = Float64Array.from(mode);
    for (let share = 1; share > 1e-10; share /= 2) {
      for (let c = 0; c < order; c++) mode[c] = from[c] + share * step[c];
      const trial = jointAt(mode);
      if (trial <= joint + 1e-13 * Math.abs(joint)) return trial;
    }
    return decrement < 1e-12 ? jointAt(mode) : null;
  }

  function fillSlots(parameters: Float64Array): void {
    for (let s = 0; s < z.length; s++) {
      const theta = p + slotTheta[s] - loadStart[s];
      let sum = 0;
      for (let e = loadStart[s]; e < loadStart[s + 1]; e++) sum += parameters[theta + e] * load[e];
      z[s] = sum;
    }
  }

  /** Fills the predictors at given effects; the negative joint log-likelihood. */
  function jointAt(effects: Float64Array): number {
    for (let i = 0; i < rows; i++) {
      let sum = base[i];
      for (let s = rowStart[i]; s < rowStart[i + 1]; s++) sum += z[s] * effects[coordinate[s]];
      eta[i] = sum;
    }
    let penalty = 0;
    for (let c = 0; c < order; c++) penalty += effects[c] * effects[c];
    return penalty / 2 - likelihood.logLikelihood(eta, 0, model.total, model.size, 0, rows);
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k] * b[k];
  return sum;
}

/** Squared Newton decrement of the modes at which they count as found. */
const MODE_TOLERANCE = 1e-20;
