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

/** Places within an animal's four words: its only sire (or NONE, SEVERAL), dam, next in its bin, generation. */
const SIRE = 0;
const DAM = 1;
const NEXT = 2;
const GENERATION = 3;
const NONE = -1;
const SEVERAL = -2;
const NOT_WAITING = -2;

function ancestorWalk(pedigree: Pedigree, mendelianVariance: Float64Array): AncestorWalk {
  const words = packedParents(pedigree);
  const { sireStart, sire, sireProbability } = pedigree;
  let top = 0;
  for (const g of pedigree.generation) if (g > top) top = g;
  const first = new Int32Array(top + 1).fill(NONE);
  const weight = new Float64Array(pedigree.size);
  let highest = -1;
  const add = (animal: number, w: number): void => {
    weight[animal] += w;
    const at = animal << 2;
    if (words[at + NEXT] !== NOT_WAITING) return;
    const g = words[at + GENERATION];
    words[at + NEXT] = first[g];
    first[g] = animal;
    if (g > highest) highest = g;
  };
  const quadraticForm = (): number => {
    let sum = 0;
    for (let g = highest; g >= 0; g--) {
      let animal = first[g];
      first[g] = NONE;
      while (animal >= 0) {
        const at = animal << 2;
        const w = weight[animal];
        weight[animal] = 0;
        sum += w * w * mendelianVariance[animal];
        if (words[at + SIRE] >= 0) add(words[at + SIRE], w / 2);
        else if (words[at + SIRE] === SEVERAL) {
          for (let k = sireStart[animal]; k < sireStart[animal + 1]; k++)
            add(sire[k], (w * sireProbability[k]) / 2);
        }
        if (words[at + DAM] >= 0) add(words[at + DAM], w / 2);
        animal = words[at + NEXT];
        words[at + NEXT] = NOT_WAITING;
      }
    }
    highest = -1;
    return sum;
  };
  return { add, quadraticForm };
}

/** All that a visit reads about an animal, side by side: in large pedigrees memory access is the cost. */
function packedParents({ size, sireStart, sire, sireProbability, dam, generation }: Pedigree): Int32Array {
  const words = new Int32Array(4 * size);
  for (let i = 0; i < size; i++) {
    const from = sireStart[i];
    const count = sireStart[i + 1] - from;
    const single = count === 1 && sireProbability[from] === 1;
    words[4 * i + SIRE] = single ? sire[from] : count === 0 ? NONE : SEVERAL;
    words[4 * i + DAM] = dam[i];
    words[4 * i + NEXT] = NOT_WAITING;
    words[4 * i + GENERATION] = generation[i];
  }
  return words;
}
