import type { GeneticFrame } from "./genetic-frame.ts";
import { relationshipProduct } from "./relationship.ts";
import { designProduct, transposedProduct } from "./sparse-design.ts";

/** A weighted sum of animals' breeding values. */
export interface AnimalWeights {
  readonly animals: ArrayLike<number>;
  readonly weights: ArrayLike<number>;
}

/** Breeding values Q g + a from effects on the scale of their ratios. */
export function breedingVector(
  model: GeneticFrame,
  scale: Float64Array,
  standardized: Float64Array,
): Float64Array {
  const size = model.pedigree.size;
  const value = new Float64Array(size);
  for (let i = 0; i < size; i++) value[i] = scale[i] * standardized[i];
  if (model.shares === null) return value;
  const start = model.equations.termStart[1];
  const groups = Float64Array.from(
    { length: model.shares.columns },
    (_, g) => scale[start + g] * standardized[start + g],
  );
  const part = designProduct(model.shares, groups);
  for (let i = 0; i < size; i++) value[i] += part[i];
  return value;
}

/** The transpose of `breedingVector`: how a weighted sum of breeding values loads on the scaled effects. */
export function breedingLoad(model: GeneticFrame, scale: Float64Array, sum: AnimalWeights): Float64Array {
  const dense = denseWeights(model.pedigree.size, sum);
  const load = new Float64Array(scale.length);
  for (let i = 0; i < dense.length; i++) load[i] = scale[i] * dense[i];
  if (model.shares === null) return load;
  const start = model.equations.termStart[1];
  transposedProduct(model.shares, dense).forEach((amount, g) => {
    load[start + g] = scale[start + g] * amount;
  });
  return load;
}

/** Variance of the true breeding values, or of their difference from a weighted mean of some animals. */
export function priorVariance(
  model: GeneticFrame,
  variances: ArrayLike<number>,
  base: AnimalWeights | null,
): Float64Array {
  const parts = priorParts(model, base);
  return parts.additive.map(
    (a, i) => variances[0] * a + (parts.group === null ? 0 : variances[1] * parts.group[i]),
  );
}

/** The prior variance per unit of additive and of group variance. */
function priorParts(
  model: GeneticFrame,
  base: AnimalWeights | null,
): { readonly additive: Float64Array; readonly group: Float64Array | null } {
  const { pedigree, kin, shares } = model;
  const additive = kin.coefficient.map((f) => 1 + f);
  const group = shares === null ? null : shareForms(shares);
  if (base === null) return { additive, group };
  const dense = denseWeights(pedigree.size, base);
  subtractLevel(additive, relationshipProduct(pedigree, kin, dense), base);
  if (shares !== null && group !== null) {
    subtractLevel(group, designProduct(shares, transposedProduct(shares, dense)), base);
  }
  return { additive, group };
}

/** Variance of a weighted sum of true breeding values. */
export function sumVariance(
  { pedigree, kin, shares }: GeneticFrame,
  { additive, group }: { readonly additive: number; readonly group: number },
  sum: AnimalWeights,
): number {
  const dense = denseWeights(pedigree.size, sum);
  const related = relationshipProduct(pedigree, kin, dense);
  const ofAnimals = dense.reduce((total, weight, i) => total + weight * related[i], 0);
  if (shares === null) return additive * ofAnimals;
  const ofGroups = transposedProduct(shares, dense).reduce((total, part) => total + part * part, 0);
  return additive * ofAnimals + group * ofGroups;
}

function shareForms(shares: NonNullable<GeneticFrame["shares"]>): Float64Array {
  return Float64Array.from({ length: shares.rows }, (_, i) => {
    let sum = 0;
    for (let e = shares.rowStart[i]; e < shares.rowStart[i + 1]; e++) sum += shares.value[e] ** 2;
    return sum;
  });
}

/** Var(u_i) -> Var(u_i - m'u), given Cov(u, m'u). */
function subtractLevel(variance: Float64Array, covariance: Float64Array, base: AnimalWeights): void {
  let level = 0;
  for (let k = 0; k < base.animals.length; k++) level += base.weights[k] * covariance[base.animals[k]];
  for (let i = 0; i < variance.length; i++) variance[i] += level - 2 * covariance[i];
}

function denseWeights(size: number, sum: AnimalWeights): Float64Array {
  const dense = new Float64Array(size);
  for (let k = 0; k < sum.animals.length; k++) dense[sum.animals[k]] += sum.weights[k];
  return dense;
}
