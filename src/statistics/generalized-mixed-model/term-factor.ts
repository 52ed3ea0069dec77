import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { MixedModel, ModelTerm } from "./model-input.ts";

/** How many entries of θ a term has: the lower triangle of its factor, or the diagonal alone. */
export function thetaCount(term: ModelTerm): number {
  return term.independent ? term.effectCount : (term.effectCount * (term.effectCount + 1)) / 2;
}

/** Place in θ of entry (a, b), a ≥ b, of a term's factor: its lower triangle column by column, or its diagonal. */
export function thetaPlace(term: ModelTerm, a: number, b: number): number {
  return term.independent ? a : b * term.effectCount - (b * (b - 1)) / 2 + a - b;
}

/** Names of θ in order: the term, and the pair of effects where it has several. */
export function thetaNames(model: MixedModel): string[] {
  return model.terms.flatMap((term) => {
    if (term.effectCount === 1) return [term.name];
    const names: string[] = [];
    for (let b = 0; b < term.effectCount; b++) {
      for (let a = b; a < (term.independent ? b + 1 : term.effectCount); a++)
        names.push(`${term.name} ${a},${b}`);
    }
    return names;
  });
}

/** Places in θ of the diagonals of the terms' factors. */
export function diagonalThetas(model: MixedModel): number[] {
  const places: number[] = [];
  let start = 0;
  for (const term of model.terms) {
    for (let a = 0; a < term.effectCount; a++) places.push(start + thetaPlace(term, a, a));
    start += thetaCount(term);
  }
  return places;
}

/** The lower-triangular factor of a term's covariance, row by row, from its part of θ. */
export function termFactor(term: ModelTerm, theta: ArrayLike<number>): Float64Array {
  const q = term.effectCount;
  const factor = new Float64Array(q * q);
  for (let a = 0; a < q; a++) {
    for (let b = term.independent ? a : 0; b <= a; b++) factor[a * q + b] = theta[thetaPlace(term, a, b)];
  }
  return factor;
}

/** Covariance T T' of a term's effects. */
export function termCovariance(term: ModelTerm, theta: ArrayLike<number>): DenseMatrix {
  const q = term.effectCount;
  const factor = termFactor(term, theta);
  const result = zeroMatrix(q, q);
  for (let a = 0; a < q; a++) {
    for (let c = 0; c < q; c++) {
      for (let b = 0; b < q; b++) result.values[a * q + c] += factor[a * q + b] * factor[c * q + b];
    }
  }
  return result;
}

/** Where each term's part of θ starts. */
export function thetaStarts(model: MixedModel): number[] {
  const starts = [0];
  for (const term of model.terms) starts.push(starts[starts.length - 1] + thetaCount(term));
  return starts;
}

/** Places among the parameters of the factor's column that starts at the given diagonal. */
export function factorColumn(model: MixedModel, p: number, diagonal: number): number[] {
  const starts = thetaStarts(model);
  const t = starts.findIndex((from, at) => diagonal - p >= from && diagonal - p < starts[at + 1]);
  const term = model.terms[t];
  for (let b = 0; b < term.effectCount; b++) {
    if (p + starts[t] + thetaPlace(term, b, b) !== diagonal) continue;
    const length = term.independent ? 1 : term.effectCount - b;
    return Array.from({ length }, (_, a) => diagonal + a);
  }
  throw new RangeError(`no diagonal at ${diagonal}`);
}

/** Signs that make every diagonal of a factor positive: a column and its negative mean the same. */
export function columnSigns(model: MixedModel, point: Float64Array, p: number): Float64Array {
  const signs = new Float64Array(point.length).fill(1);
  const starts = thetaStarts(model);
  model.terms.forEach((term, t) => {
    for (let b = 0; b < term.effectCount; b++) {
      if (point[p + starts[t] + thetaPlace(term, b, b)] >= 0) continue;
      const last = term.independent ? b : term.effectCount - 1;
      for (let a = b; a <= last; a++) signs[p + starts[t] + thetaPlace(term, a, b)] = -1;
    }
  });
  return signs;
}
