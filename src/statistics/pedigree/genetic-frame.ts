import type { FitTrouble, Unfit } from "../verdict.ts";
import { type Inbreeding, inbreeding } from "./inbreeding.ts";
import { type EffectTerm, type MixedModelEquations, mixedModelEquations } from "./mixed-model-equations.ts";
import type { Pedigree } from "./pedigree.ts";
import { relationshipInverse } from "./relationship-inverse.ts";
import { columnDesign, composeDesigns, type SparseDesign } from "./sparse-design.ts";
import { groupShares, type UnknownParentGroups } from "./unknown-parent-groups.ts";
import { type VarianceMap, varianceMap } from "./variance-map.ts";

/** An independent random term: one effect a column of its design, any loadings. */
export interface OtherTerm {
  readonly name: string;
  readonly design: SparseDesign;
}

/** How records load on fixed effects, animals and other terms. */
export interface GeneticDesign {
  /** Columns of the fixed effects, the constant included. */
  readonly fixed: readonly ArrayLike<number>[];
  readonly pedigree: Pedigree;
  /** Records on the animals of the pedigree (loading 1, or a slope such as days / 30). */
  readonly animal: SparseDesign;
  readonly groups?: UnknownParentGroups;
  readonly others?: readonly OtherTerm[];
}

/** A pedigree, its kinship and the mixed-model equations of a design with genetic effects. */
export interface GeneticFrame {
  readonly pedigree: Pedigree;
  readonly kin: Inbreeding;
  /** Share of each group in each animal; null without groups. */
  readonly shares: SparseDesign | null;
  /** Terms in the order animal, group (where there are groups), others. */
  readonly equations: MixedModelEquations;
}

/** With fewer groups than this their variance is not estimated but set to a quarter of the additive one. */
const FEWEST_GROUPS = 4;
const TIED_GROUP_SHARE = 0.25;

/** Group shares and equations of a checked design; `kin` if the kinship of its pedigree is known already. */
export function geneticFrame(
  design: GeneticDesign,
  kin: Inbreeding = inbreeding(design.pedigree),
): GeneticFrame {
  const shares = usedShares(design);
  const records = design.animal.rows;
  const equations = mixedModelEquations(
    records,
    effectTerms(design, kin, shares),
    columnDesign(records, design.fixed),
  );
  return { pedigree: design.pedigree, kin, shares, equations };
}

/** Group shares where there are groups to tell apart: a single one is the mean. */
export function usedShares({ groups, pedigree }: GeneticDesign): SparseDesign | null {
  return groups !== undefined && groups.count > 1 ? groupShares(pedigree, groups) : null;
}

/** The map of the first `count` variances, the variance of few groups tied to the additive one. */
export function geneticVarianceMap(frame: GeneticFrame, count: number): VarianceMap {
  const tied = frame.shares !== null && frame.shares.columns < FEWEST_GROUPS;
  return varianceMap(count, tied ? [{ variance: 1, to: 0, multiple: TIED_GROUP_SHARE }] : []);
}

/** What rules a design for this many records out. */
export function designTrouble(design: GeneticDesign, records: number): Unfit | undefined {
  const { fixed, animal, pedigree } = design;
  if (records === 0) return unfit("no_rows", "no records");
  if (records <= fixed.length + 1) {
    return unfit("too_few_rows", `${records} records for ${fixed.length} fixed effects`);
  }
  if (animal.rows !== records || animal.columns !== pedigree.size) {
    return unfit("invalid_input", "the animal design must be records x animals of the pedigree");
  }
  const badColumn = fixed.findIndex((c) => c.length !== records);
  if (badColumn >= 0) return unfit("invalid_input", `fixed column ${badColumn} has not one value a record`);
  for (const term of design.others ?? []) {
    if (term.design.rows !== records)
      return unfit("invalid_input", `term ${term.name} has not one row a record`);
    if (term.design.columns < 2) return unfit("too_few_groups", `term ${term.name} has fewer than 2 levels`);
  }
  return undefined;
}

/** True when every value holds. */
export function everyValue(values: ArrayLike<number>, holds: (value: number) => boolean): boolean {
  for (let i = 0; i < values.length; i++) if (!holds(values[i])) return false;
  return true;
}

/** A fit without estimates because of its data. */
export function unfit(trouble: FitTrouble, detail: string): Unfit {
  return { verdict: "failed", trouble, detail };
}

function effectTerms(design: GeneticDesign, kin: Inbreeding, shares: SparseDesign | null): EffectTerm[] {
  let logDeterminant = 0;
  for (const d of kin.mendelianVariance) logDeterminant -= Math.log(d);
  const animal: EffectTerm = {
    name: "animal",
    design: design.animal,
    precision: relationshipInverse(design.pedigree, kin.mendelianVariance),
    logDeterminant,
  };
  const group = shares === null ? [] : [{ name: "group", design: composeDesigns(design.animal, shares) }];
  return [animal, ...group, ...(design.others ?? [])];
}
