import type { Pedigree } from "./pedigree.ts";

export interface Inbreeding {
  /** Inbreeding coefficient F of each animal: A(i, i) - 1. */
  readonly coefficient: Float64Array;
  /** Mendelian sampling variance of each animal in units of the additive variance: D(i, i) of A = T D T'. */
  readonly mendelianVariance: Float64Array;
}

/**
 * Inbreeding by tracing each animal's ancestors once (Meuwissen & Luo 1992, Genet. Sel. Evol. 24:305-313).
 * Ancestors wait in one bin a generation, so that none is visited before all its descendants were
 * (Sargolzaei & Iwaisaki 2005, J. Anim. Breed. Genet. 122:25-32).
 *
 * With candidate sires q_j the diagonal is that of the average relationship matrix
 * (Henderson 1988, J. Anim. Sci. 66:1614-1621): D = 1 - A(dam, dam)/4 - q'Aq/4.
 */
export function inbreeding(pedigree: Pedigree): Inbreeding {
  const coefficient = new Float64Array(pedigree.size);
  const mendelianVariance = new Float64Array(pedigree.size);
  const walk = ancestorWalk(pedigree, mendelianVariance);
  const lastKid = new Int32Array(pedigree.size).fill(-1);
  const { sireStart, sire, sireProbability, dam } = pedigree;
  for (const i of pedigree.order) {
    const from = sireStart[i];
    const to = sireStart[i + 1];
    const d = dam[i];
    const oneSire = to - from === 1 && sireProbability[from] === 1;
    const sibling = d >= 0 ? lastKid[d] : -1;
    if (d >= 0) lastKid[d] = i;
    if (oneSire && sibling >= 0 && sire[sireStart[sibling]] === sire[from] && isFullSib(pedigree, sibling)) {
      coefficient[i] = coefficient[sibling];
      mendelianVariance[i] = mendelianVariance[sibling];
      continue;
    }
    let bySires = 0;
    if (oneSire) bySires = 1 + coefficient[sire[from]];
    else if (to > from) {
      for (let k = from; k < to; k++) walk.add(sire[k], sireProbability[k]);
      bySires = walk.quadraticForm();
    }
    const byDam = d >= 0 ? 1 + coefficient[d] : 0;
    mendelianVariance[i] = 1 - (bySires + byDam) / 4;
    if (to === from || d < 0) continue;
    for (let k = from; k < to; k++) walk.add(sire[k], sireProbability[k] / 2);
    walk.add(d, 0.5);
    // Unrelated parents leave a rounding residue that would otherwise read as inbreeding.
    const excess = walk.quadraticForm() + mendelianVariance[i] - 1;
    coefficient[i] = excess > 1e-13 ? excess : 0;
  }
  return { coefficient, mendelianVariance };
}

function isFullSib(pedigree: Pedigree, sibling: number): boolean {
  const from = pedigree.sireStart[sibling];
  return pedigree.sireStart[sibling + 1] - from === 1 && pedigree.sireProbability[from] === 1;
}

interface AncestorWalk {
  /** Adds a weight on an animal. */
  add(animal: number, weight: number): void;
  /** w'Aw of the weights added since the last call, by passing them up to all ancestors. */
  quadraticForm(): number;
}

function ancestorWalk(pedigree: Pedigree, mendelianVariance: Float64Array): AncestorWalk {
  const { sireStart, sire, sireProbability, dam, generation } = pedigree;
  let top = 0;
  for (const g of generation) if (g > top) top = g;
  const first = new Int32Array(top + 1).fill(-1);
  const next = new Int32Array(pedigree.size);
  const waits = new Uint8Array(pedigree.size);
  const weight = new Float64Array(pedigree.size);
  let highest = -1;
  const add = (animal: number, w: number): void => {
    weight[animal] += w;
    if (waits[animal] === 1) return;
    waits[animal] = 1;
    const g = generation[animal];
    next[animal] = first[g];
    first[g] = animal;
    if (g > highest) highest = g;
  };
  const quadraticForm = (): number => {
    let sum = 0;
    for (let g = highest; g >= 0; g--) {
      for (let a = first[g]; a >= 0; a = next[a]) {
        const w = weight[a];
        sum += w * w * mendelianVariance[a];
        for (let k = sireStart[a]; k < sireStart[a + 1]; k++) add(sire[k], (w * sireProbability[k]) / 2);
        if (dam[a] >= 0) add(dam[a], w / 2);
        weight[a] = 0;
        waits[a] = 0;
      }
      first[g] = -1;
    }
    highest = -1;
    return sum;
  };
  return { add, quadraticForm };
}
