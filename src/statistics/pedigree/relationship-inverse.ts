import { type SparseSymmetric, sparseFromTriplets } from "../linear-algebra/sparse-symmetric.ts";
import { eachParentWeight } from "./parent-links.ts";
import type { Pedigree } from "./pedigree.ts";

/**
 * The inverse of the relationship matrix by Henderson's rules (1976, Biometrics 32:69-83): each animal adds
 * v v'/D, where v is 1 on itself and minus its share on each parent, and D its Mendelian sampling variance.
 * With D from `inbreeding` the inverse is exact for inbred parents (Quaas 1976, Biometrics 32:949-953) and
 * for candidate sires (Henderson 1988, J. Anim. Sci. 66:1614-1621).
 */
export function relationshipInverse(pedigree: Pedigree, mendelianVariance: Float64Array): SparseSymmetric {
  const rows: number[] = [];
  const columns: number[] = [];
  const values: number[] = [];
  const animals: number[] = [];
  const weights: number[] = [];
  for (let i = 0; i < pedigree.size; i++) {
    animals.length = 0;
    weights.length = 0;
    animals.push(i);
    weights.push(1);
    eachParentWeight(pedigree, i, (parent, share) => {
      animals.push(parent);
      weights.push(-share);
    });
    for (let a = 0; a < animals.length; a++) {
      for (let b = 0; b <= a; b++) {
        rows.push(animals[a]);
        columns.push(animals[b]);
        values.push((weights[a] * weights[b]) / mendelianVariance[i]);
      }
    }
  }
  return sparseFromTriplets(pedigree.size, rows, columns, values);
}

/** A-inverse times x, added to `into`, without forming the matrix. */
export function addRelationshipInverseProduct(
  pedigree: Pedigree,
  mendelianVariance: Float64Array,
  x: Float64Array,
  scale: number,
  into: Float64Array,
): void {
  const { size, sireStart, sire, sireProbability, dam } = pedigree;
  for (let i = 0; i < size; i++) {
    const from = sireStart[i];
    const to = sireStart[i + 1];
    const d = dam[i];
    let fromParents = d >= 0 ? x[d] : 0;
    for (let k = from; k < to; k++) fromParents += sireProbability[k] * x[sire[k]];
    const pull = (scale * (x[i] - fromParents / 2)) / mendelianVariance[i];
    into[i] += pull;
    if (d >= 0) into[d] -= pull / 2;
    for (let k = from; k < to; k++) into[sire[k]] -= (pull * sireProbability[k]) / 2;
  }
}

/** The diagonal of A-inverse. */
export function relationshipInverseDiagonal(
  pedigree: Pedigree,
  mendelianVariance: Float64Array,
): Float64Array {
  const diagonal = new Float64Array(pedigree.size);
  for (let i = 0; i < pedigree.size; i++) {
    const weight = 1 / mendelianVariance[i];
    diagonal[i] += weight;
    eachParentWeight(pedigree, i, (parent, share) => {
      diagonal[parent] += share * share * weight;
    });
  }
  return diagonal;
}
