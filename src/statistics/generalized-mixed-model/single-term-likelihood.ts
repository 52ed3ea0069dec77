import type { Curved } from "../generalized-linear/damped-newton.ts";
import { zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { gaussNormal } from "../quadrature.ts";
import { groupModes, rowDerivatives } from "./group-modes.ts";
import { groupRows } from "./grouped-rows.ts";
import type { MixedModel } from "./model-input.ts";
import { rowLikelihoodOf } from "./row-likelihood.ts";

/**
 * The marginal likelihood of a model with one random effect a group, by adaptive Gauss-Hermite quadrature about
 * the mode of each group (Pinheiro & Bates 1995, J. Comput. Graph. Stat. 4:12-35); one point is Laplace's
 * approximation. Rows stand group by group, so that a group's work stays in the cache.
 */
export interface SingleTermLikelihood {
  readonly groups: number;
  readonly coefficients: number;
  /**
   * Negative log-likelihood (without the data's constant) at (β, σ) with its exact gradient and Hessian, the nodes'
   * dependence on the parameters included. Null where it is not finite. Modes found on the way are kept, as the
   * starting point of the next call.
   */
  readonly evaluate: (parameters: Float64Array) => Curved | null;
  /** Value alone. */
  readonly value: (parameters: Float64Array) => number;
  /** Modes of the random effects at the parameters and their conditional variances (groups without rows: 0, σ²). */
  readonly modes: (parameters: Float64Array) => {
    readonly mode: Float64Array;
    readonly variance: Float64Array;
  };
}

/** Whether a model can be computed group by group: one term, one effect, one group a row. */
export function isSingleTerm(model: MixedModel): boolean {
  const [term] = model.terms;
  return model.terms.length === 1 && term.effectCount === 1 && term.membership instanceof Int32Array;
}

export function singleTermLikelihood(model: MixedModel, points: number): SingleTermLikelihood {
  const grouped = groupRows(model);
  const { groups, coefficients: p, design } = grouped;
  const likelihood = rowLikelihoodOf(model.family);
  const quadrature = gaussNormal(points);
  const logWeight = quadrature.weights.map((w, k) => Math.log(w) + quadrature.nodes[k] ** 2 / 2);
  const scratch = makeScratch(grouped.largestGroup, points, p);
  const { mode, eta, rows, find, fillPredictors, spread: spreadOf } = groupModes(grouped, likelihood);
  return { groups, coefficients: p, evaluate, value, modes };

  function evaluate(parameters: Float64Array): Curved | null {
    const order = p + 1;
    const gradient = new Float64Array(order);
    const hessian = zeroMatrix(order, order);
    let sum = 0;
    for (let g = 0; g < groups; g++) {
      if (!find(parameters, g)) return null;
      sum += addGroup(parameters, g, gradient, hessian.values);
    }
    for (let j = 0; j < order; j++) {
      for (let k = 0; k < j; k++) hessian.values[k * order + j] = hessian.values[j * order + k];
    }
    return Number.isFinite(sum) ? { value: sum, gradient, hessian } : null;
  }

  function value(parameters: Float64Array): number {
    const sigma = parameters[p];
    let sum = 0;
    for (let g = 0; g < groups; g++) {
      if (!find(parameters, g)) return Number.POSITIVE_INFINITY;
      const spread = spreadOf(sigma, g);
      sum -= Math.log(spread) + logMixture(g, sigma, spread);
    }
    return sum;
  }

  function modes(parameters: Float64Array) {
    const sigma = parameters[p];
    const levels = model.terms[0].levels;
    const found = { mode: new Float64Array(levels), variance: new Float64Array(levels).fill(sigma * sigma) };
    for (let g = 0; g < groups; g++) {
      find(parameters, g);
      const spread = spreadOf(sigma, g);
      found.mode[grouped.levelOf[g]] = sigma * mode[g];
      found.variance[grouped.levelOf[g]] = (sigma * spread) ** 2;
    }
    return found;
  }

  /**
   * log Σ ω_k exp(−f(û + spread·t_k)), f the negative joint log-likelihood; leaves the nodes' shares in the
   * scratch.
   */
  function logMixture(g: number, sigma: number, spread: number): number {
    const from = grouped.start[g];
    const count = grouped.start[g + 1] - from;
    const { share } = scratch;
    let largest = Number.NEGATIVE_INFINITY;
    for (let k = 0; k < points; k++) {
      const u = mode[g] + spread * quadrature.nodes[k];
      fillPredictors(sigma * u, from, count);
      const logJoint =
        likelihood.logLikelihood(eta, 0, grouped.total, grouped.size, from, count) - (u * u) / 2;
      share[k] = logWeight[k] + logJoint;
      if (share[k] > largest) largest = share[k];
    }
    let sum = 0;
    for (let k = 0; k < points; k++) sum += Math.exp(share[k] - largest);
    for (let k = 0; k < points; k++) share[k] = Math.exp(share[k] - largest) / sum;
    return largest + Math.log(sum);
  }

  /**
   * Adds one group's part to gradient and Hessian (lower triangle) and returns its value. Written with f(u, ψ) the
   * negative joint log-likelihood, ψ = (β, σ): the mode û solves f_u = 0, h = f_uu at the mode, nodes stand at
   * û + t·h^(−½); derivatives of û and h follow from the implicit function theorem.
   */
  function addGroup(
    parameters: Float64Array,
    g: number,
    gradient: Float64Array,
    hessian: Float64Array,
  ): number {
    const from = grouped.start[g];
    const count = grouped.start[g + 1] - from;
    const { node, sums } = scratch;
    const sigma = parameters[p];
    const s2 = sigma * sigma;
    const u = mode[g];
    const order = p + 1;

    fillPredictors(sigma * u, from, count);
    likelihood.allDerivatives(eta, 0, grouped.total, grouped.size, from, count, rows);
    // Sums over rows at the mode: powers of z with the derivatives of the weight, with and without x.
    const { zwx, zzdx, zzzqx } = sums;
    zwx.fill(0);
    zzdx.fill(0);
    zzzqx.fill(0);
    let zs = 0;
    let zzw = 0;
    let zzzd = 0;
    let zzzzq = 0;
    for (let i = 0; i < count; i++) {
      const z = grouped.effect === null ? 1 : grouped.effect[from + i];
      const z2 = z * z;
      const zw = z * rows.weight[i];
      const z2d = z2 * rows.weightSlope[i];
      const z3q = z2 * z * rows.weightCurvature[i];
      zs += z * rows.score[i];
      zzw += z * zw;
      zzzd += z * z2d;
      zzzzq += z * z3q;
      const at = (from + i) * p;
      for (let j = 0; j < p; j++) {
        const x = design[at + j];
        zwx[j] += zw * x;
        zzdx[j] += z2d * x;
        zzzqx[j] += z3q * x;
      }
    }
    const h = 1 + s2 * zzw;
    const spread = 1 / Math.sqrt(h);
    const fuuu = s2 * sigma * zzzd;
    const fuuuu = s2 * s2 * zzzzq;

    // û_ψ = −f_uψ/h, h_ψ = f_uuψ + f_uuu û_ψ.
    const { modeBy, curvatureBy, fuuBy, fuuuBy } = sums;
    for (let j = 0; j < p; j++) {
      modeBy[j] = (-sigma * zwx[j]) / h;
      fuuBy[j] = s2 * zzdx[j];
      fuuuBy[j] = s2 * sigma * zzzqx[j];
    }
    modeBy[p] = (zs - sigma * u * zzw) / h;
    fuuBy[p] = 2 * sigma * zzw + s2 * u * zzzd;
    fuuuBy[p] = 3 * s2 * zzzd + s2 * sigma * u * zzzzq;
    for (let j = 0; j < order; j++) curvatureBy[j] = fuuBy[j] + fuuu * modeBy[j];

    // The nodes. With one point the node is the mode and everything is at hand.
    let groupValue: number;
    let meanSlope = 0;
    let meanSlopeNode = 0;
    let rowWeight = rows.weight;
    const { meanGradient } = sums;
    meanGradient.fill(0);
    if (points === 1) {
      groupValue = (u * u) / 2 - likelihood.logLikelihood(eta, 0, grouped.total, grouped.size, from, count);
      for (let i = 0; i < count; i++) {
        const at = (from + i) * p;
        for (let j = 0; j < p; j++) meanGradient[j] -= rows.score[i] * design[at + j];
      }
      meanGradient[p] = -u * zs;
      // f_ψψ + f_uψ û_ψ' and its like, the x x' part of f_ββ left to the rows.
      for (let j = 0; j < order; j++) {
        for (let k = 0; k <= j; k++) hessian[j * order + k] -= h * modeBy[j] * modeBy[k];
      }
      for (let j = 0; j < p; j++) hessian[p * order + j] += u * zwx[j];
      hessian[p * order + p] += u * u * zzw;
    } else {
      groupValue = -logMixture(g, sigma, spread);
      rowWeight = node.meanWeight;
      rowWeight.fill(0, 0, count);
      for (let k = 0; k < points; k++) {
        const share = scratch.share[k];
        const t = quadrature.nodes[k];
        const at = u + spread * t;
        fillPredictors(sigma * at, from, count);
        likelihood.scoreAndWeight(eta, 0, grouped.total, grouped.size, from, count, node.rows);
        const slopes = addNode(from, count, sigma, at, share, t, h, order, hessian);
        meanSlope += share * slopes;
        meanSlopeNode += share * slopes * t;
      }
      for (let j = 0; j < order; j++) {
        for (let k = 0; k <= j; k++) hessian[j * order + k] += meanGradient[j] * meanGradient[k];
      }
    }

    // ½ log h, the movement of the nodes with h, and the curvature of the mode.
    const byCurvature = 0.5 / h - (0.5 * meanSlopeNode * spread) / h;
    const byMode = meanSlope + byCurvature * fuuu;
    const square = -0.5 / (h * h) + (0.75 * meanSlopeNode * spread) / (h * h);
    for (let j = 0; j < order; j++) {
      gradient[j] += meanGradient[j] + (0.5 * curvatureBy[j]) / h;
      for (let k = 0; k <= j; k++) {
        hessian[j * order + k] +=
          square * curvatureBy[j] * curvatureBy[k] +
          byCurvature * (fuuuBy[j] * modeBy[k] + modeBy[j] * fuuuBy[k] + fuuuu * modeBy[j] * modeBy[k]) -
          (byMode / h) * (fuuBy[j] * modeBy[k] + modeBy[j] * fuuBy[k] + fuuu * modeBy[j] * modeBy[k]);
      }
    }
    for (let j = 0; j < p; j++) {
      hessian[p * order + j] +=
        byCurvature * (2 * sigma * zzdx[j] + s2 * u * zzzqx[j]) -
        (byMode / h) * (zwx[j] + sigma * u * zzdx[j]);
    }
    hessian[p * order + p] +=
      byCurvature * (2 * zzw + 4 * sigma * u * zzzd + s2 * u * u * zzzzq) -
      (byMode / h) * (2 * u * zzw + sigma * u * u * zzzd);
    const byQuadratic = byCurvature * s2;
    const byCubic = (byMode / h) * sigma;
    for (let i = 0; i < count; i++) {
      const z = grouped.effect === null ? 1 : grouped.effect[from + i];
      const weight =
        rowWeight[i] + byQuadratic * z * z * rows.weightCurvature[i] - byCubic * z * rows.weightSlope[i];
      const at = (from + i) * p;
      for (let j = 0; j < p; j++) {
        const wx = weight * design[at + j];
        for (let k = 0; k <= j; k++) hessian[j * order + k] += wx * design[at + k];
      }
    }
    return groupValue + 0.5 * Math.log(h);
  }

  /**
   * Adds one node's part: its share of f's derivatives along the moving node, less its outer product of gradients
   * (the mixture's variance term). Returns f_u at the node.
   */
  function addNode(
    from: number,
    count: number,
    sigma: number,
    u: number,
    share: number,
    t: number,
    h: number,
    order: number,
    hessian: Float64Array,
  ): number {
    const { node, sums } = scratch;
    const { nodeGradient, nodeBy, nodeCross } = node;
    const moved = (-0.5 * t) / (h * Math.sqrt(h));
    nodeGradient.fill(0);
    nodeCross.fill(0);
    let zs = 0;
    let zzw = 0;
    for (let i = 0; i < count; i++) {
      const z = grouped.effect === null ? 1 : grouped.effect[from + i];
      const score = node.rows.score[i];
      const zw = z * node.rows.weight[i];
      node.meanWeight[i] += share * node.rows.weight[i];
      zs += z * score;
      zzw += z * zw;
      const at = (from + i) * p;
      for (let j = 0; j < p; j++) {
        nodeGradient[j] -= score * design[at + j];
        nodeCross[j] += zw * design[at + j];
      }
    }
    const slope = u - sigma * zs;
    const curvature = 1 + sigma * sigma * zzw;
    nodeGradient[p] = -u * zs;
    for (let j = 0; j < order; j++) nodeBy[j] = sums.modeBy[j] + moved * sums.curvatureBy[j];
    for (let j = 0; j < p; j++) {
      hessian[p * order + j] += share * u * nodeCross[j];
      nodeCross[j] *= sigma;
    }
    nodeCross[p] = -zs + sigma * u * zzw;
    hessian[p * order + p] += share * u * u * zzw;
    for (let j = 0; j < order; j++) {
      const total = nodeGradient[j] + slope * nodeBy[j];
      sums.meanGradient[j] += share * total;
      for (let k = 0; k <= j; k++) {
        hessian[j * order + k] +=
          share *
          (nodeCross[j] * nodeBy[k] +
            nodeBy[j] * nodeCross[k] +
            curvature * nodeBy[j] * nodeBy[k] -
            total * (nodeGradient[k] + slope * nodeBy[k]));
      }
    }
    return slope;
  }
}

function makeScratch(largestGroup: number, points: number, p: number) {
  const vector = () => new Float64Array(p + 1);
  return {
    share: new Float64Array(points),
    node: {
      rows: rowDerivatives(largestGroup),
      meanWeight: new Float64Array(largestGroup),
      nodeGradient: vector(),
      nodeBy: vector(),
      nodeCross: vector(),
    },
    sums: {
      zwx: vector(),
      zzdx: vector(),
      zzzqx: vector(),
      modeBy: vector(),
      curvatureBy: vector(),
      fuuBy: vector(),
      fuuuBy: vector(),
      meanGradient: vector(),
    },
  };
}
