import { eachParent, type ParentLinks, parentAt, parentLinks } from "./parent-links.ts";
import type { PedigreeFault } from "./pedigree-fault.ts";
import { pedigreeFaults } from "./pedigree-faults.ts";
import type { PedigreeInput } from "./pedigree-input.ts";

/**
 * A checked pedigree. Animals keep the index they came with; `order` lists them parents first.
 * An animal has no sire, one, or several candidates (see `ParentLinks`); its dam is `dam[i]` or -1.
 * `generation` is the longest way up to an animal without known parents.
 */
export interface Pedigree extends ParentLinks {
  readonly order: Int32Array;
  readonly generation: Int32Array;
}

export type CheckedPedigree =
  | { readonly ok: true; readonly pedigree: Pedigree }
  | { readonly ok: false; readonly faults: readonly PedigreeFault[] };

/** Checks a list of parents for every kind of fault and, when there is none, sorts it parents first. */
export function pedigree(input: PedigreeInput): CheckedPedigree {
  const { faults: broken, ...links } = parentLinks(input);
  const faults = [...broken, ...pedigreeFaults(links, input)];
  if (faults.length > 0) return { ok: false, faults };
  const generation = generations(links);
  return { ok: true, pedigree: { ...links, generation, order: parentsFirst(links, generation) } };
}

function generations(links: ParentLinks): Int32Array {
  const generation = new Int32Array(links.size).fill(-1);
  const next = new Int32Array(links.size);
  const path: number[] = [];
  for (let root = 0; root < links.size; root++) {
    if (generation[root] >= 0) continue;
    path.push(root);
    while (path.length > 0) {
      const i = path[path.length - 1];
      const parent = parentAt(links, i, next[i]++);
      if (parent >= 0) {
        if (generation[parent] < 0) path.push(parent);
        continue;
      }
      let oldest = -1;
      eachParent(links, i, (p) => {
        if (generation[p] > oldest) oldest = generation[p];
      });
      generation[i] = oldest + 1;
      path.pop();
    }
  }
  return generation;
}

/** The order of the list itself when parents already come first: memory is then read in a row. */
function parentsFirst(links: ParentLinks, generation: Int32Array): Int32Array {
  const order = new Int32Array(links.size);
  if (alreadySorted(links)) {
    for (let i = 0; i < links.size; i++) order[i] = i;
    return order;
  }
  let last = 0;
  for (const g of generation) if (g > last) last = g;
  const place = new Int32Array(last + 2);
  for (const g of generation) place[g + 1]++;
  for (let g = 0; g <= last; g++) place[g + 1] += place[g];
  for (let i = 0; i < links.size; i++) order[place[generation[i]]++] = i;
  return order;
}

function alreadySorted(links: ParentLinks): boolean {
  for (let i = 0; i < links.size; i++) {
    if (links.dam[i] >= i) return false;
    for (let k = links.sireStart[i]; k < links.sireStart[i + 1]; k++) if (links.sire[k] >= i) return false;
  }
  return true;
}
