import { eachParentWeight } from "./parent-links.ts";
import type { Pedigree } from "./pedigree.ts";
import { type SparseDesign, sparseDesign } from "./sparse-design.ts";

/** Which group an unknown parent comes from: one entry an animal, -1 for none (the common base). */
export interface UnknownParentGroups {
  readonly count: number;
  readonly ofUnknownSire: ArrayLike<number>;
  readonly ofUnknownDam: ArrayLike<number>;
}

/**
 * The share of each group in each animal's descent (rows animals, columns groups): a known parent hands on
 * half of its own shares, an unknown one a half of its group (Quaas 1988, J. Dairy Sci. 71:1338-1345).
 */
export function groupShares(pedigree: Pedigree, groups: UnknownParentGroups): SparseDesign {
  const shares: Map<number, number>[] = new Array(pedigree.size);
  for (const i of pedigree.order) {
    const own = new Map<number, number>();
    const add = (group: number, share: number): void => {
      if (group >= 0) own.set(group, (own.get(group) ?? 0) + share);
    };
    let unknownSire = 0.5;
    eachParentWeight(pedigree, i, (parent, share) => {
      if (parent !== pedigree.dam[i]) unknownSire -= share;
      for (const [group, part] of shares[parent]) add(group, share * part);
    });
    // Candidate chances may add to 1 only up to rounding.
    if (unknownSire > 1e-9) add(groups.ofUnknownSire[i], unknownSire);
    if (pedigree.dam[i] < 0) add(groups.ofUnknownDam[i], 0.5);
    shares[i] = own;
  }
  const entries = shares.flatMap((own, row) => [...own].map(([column, value]) => ({ row, column, value })));
  return sparseDesign(pedigree.size, groups.count, entries);
}

/** Groups for animals whose line is on record: every unknown parent comes from the line of its kid. */
export function linesAsGroups(line: ArrayLike<number>, count: number): UnknownParentGroups {
  return { count, ofUnknownSire: line, ofUnknownDam: line };
}
