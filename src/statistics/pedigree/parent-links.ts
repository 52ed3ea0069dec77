import type { PedigreeFault } from "./pedigree-fault.ts";
import type { PedigreeInput } from "./pedigree-input.ts";

/** Parents in flat arrays: the sires of animal i stand from `sireStart[i]` to `sireStart[i + 1]`. */
export interface ParentLinks {
  readonly size: number;
  readonly sireStart: Int32Array;
  readonly sire: Int32Array;
  readonly sireProbability: Float64Array;
  readonly dam: Int32Array;
}

/** Flattens a list of parents; links that cannot be are reported and left out. */
export function parentLinks(input: PedigreeInput): ParentLinks & { readonly faults: PedigreeFault[] } {
  const size = input.sire.length;
  const faults: PedigreeFault[] = [];
  const usable = (kid: number, parent: number): boolean => {
    if (parent === -1) return false;
    if (!(Number.isInteger(parent) && parent >= 0 && parent < size)) {
      faults.push({ code: "unknown_parent_index", chain: [kid, parent] });
      return false;
    }
    if (parent === kid) {
      faults.push({ code: "own_parent", chain: [kid, kid] });
      return false;
    }
    return true;
  };
  let room = size;
  input.candidateSires?.forEach((candidates) => {
    room += candidates.length;
  });
  const sireStart = new Int32Array(size + 1);
  const sire = new Int32Array(room);
  const sireProbability = new Float64Array(room);
  const dam = new Int32Array(size).fill(-1);
  let end = 0;
  for (let i = 0; i < size; i++) {
    const candidates = input.candidateSires?.get(i) ?? [{ sire: input.sire[i], probability: 1 }];
    if (candidates.length > 1 || candidates[0]?.probability !== 1) checkChances(i, candidates, faults);
    for (const c of candidates) {
      if (!usable(i, c.sire)) continue;
      sire[end] = c.sire;
      sireProbability[end++] = c.probability;
    }
    sireStart[i + 1] = end;
    if (usable(i, input.dam[i])) dam[i] = input.dam[i];
  }
  return {
    size,
    sireStart,
    sire: sire.subarray(0, end),
    sireProbability: sireProbability.subarray(0, end),
    dam,
    faults,
  };
}

type Candidates = readonly { readonly sire: number; readonly probability: number }[];

function checkChances(animal: number, candidates: Candidates, faults: PedigreeFault[]): void {
  const total = candidates.reduce((sum, c) => sum + c.probability, 0);
  const distinct = new Set(candidates.map((c) => c.sire)).size === candidates.length;
  const inRange = candidates.every((c) => c.probability > 0 && c.probability <= 1);
  // Thirds and sevenths do not add to 1 exactly.
  if (distinct && inRange && total <= 1 + 1e-9) return;
  faults.push({
    code: "candidate_probability",
    animal,
    total,
    chain: [animal, ...candidates.map((c) => c.sire)],
  });
}

/** Calls back with every parent of an animal, sires first. */
export function eachParent(links: ParentLinks, animal: number, visit: (parent: number) => void): void {
  for (let k = links.sireStart[animal]; k < links.sireStart[animal + 1]; k++) visit(links.sire[k]);
  if (links.dam[animal] >= 0) visit(links.dam[animal]);
}

/** Calls back with every parent of an animal and its share in the kid's breeding value, sires first. */
export function eachParentWeight(
  links: ParentLinks,
  animal: number,
  visit: (parent: number, share: number) => void,
): void {
  for (let k = links.sireStart[animal]; k < links.sireStart[animal + 1]; k++) {
    visit(links.sire[k], links.sireProbability[k] / 2);
  }
  if (links.dam[animal] >= 0) visit(links.dam[animal], 0.5);
}

/** The k-th parent of an animal (sires first, then the dam), or -1 past the last. */
export function parentAt(links: ParentLinks, animal: number, k: number): number {
  const sires = links.sireStart[animal + 1] - links.sireStart[animal];
  if (k < sires) return links.sire[links.sireStart[animal] + k];
  return k === sires ? links.dam[animal] : -1;
}
