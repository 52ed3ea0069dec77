import type { Inbreeding } from "./inbreeding.ts";
import type { Pedigree } from "./pedigree.ts";

/**
 * The product A x of the relationship matrix and a vector, without forming A: A = T D T'
 * (Colleau 2002, Genet. Sel. Evol. 34:409-421). One pass down the pedigree and one up.
 */
export function relationshipProduct(pedigree: Pedigree, kin: Inbreeding, x: ArrayLike<number>): Float64Array {
  const { sireStart, sire, sireProbability, dam, order } = pedigree;
  const product = Float64Array.from(x);
  for (let n = order.length - 1; n >= 0; n--) {
    const i = order[n];
    const half = product[i] / 2;
    if (half === 0) continue;
    for (let k = sireStart[i]; k < sireStart[i + 1]; k++) product[sire[k]] += half * sireProbability[k];
    if (dam[i] >= 0) product[dam[i]] += half;
  }
  for (const i of order) {
    let fromParents = 0;
    for (let k = sireStart[i]; k < sireStart[i + 1]; k++)
      fromParents += sireProbability[k] * product[sire[k]];
    if (dam[i] >= 0) fromParents += product[dam[i]];
    product[i] = fromParents / 2 + kin.mendelianVariance[i] * product[i];
  }
  return product;
}

/** The row of A for one animal: its relationship to every animal of the pedigree. */
export function relationshipRow(pedigree: Pedigree, kin: Inbreeding, animal: number): Float64Array {
  const unit = new Float64Array(pedigree.size);
  unit[animal] = 1;
  return relationshipProduct(pedigree, kin, unit);
}

/**
 * A, dense and row-major, for the animals named (all by default). Time and memory grow with
 * their number times the pedigree; for all animals of a large pedigree use single rows instead.
 */
export function relationshipMatrix(
  pedigree: Pedigree,
  kin: Inbreeding,
  animals: ArrayLike<number> = Int32Array.from({ length: pedigree.size }, (_, i) => i),
): Float64Array {
  const count = animals.length;
  const matrix = new Float64Array(count * count);
  for (let r = 0; r < count; r++) {
    const row = relationshipRow(pedigree, kin, animals[r]);
    for (let c = 0; c < count; c++) matrix[r * count + c] = row[animals[c]];
  }
  return matrix;
}

/** Inbreeding that a kid of this mating is expected to have: half the relationship of its parents. */
export function expectedInbreeding(pedigree: Pedigree, kin: Inbreeding, sire: number, dam: number): number {
  return relationshipRow(pedigree, kin, sire)[dam] / 2;
}
