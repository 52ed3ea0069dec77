import type { AnimalModelInput } from "../../statistics/pedigree/animal-model.ts";
import { indexDesign, type SparseDesign, termDesign } from "../../statistics/pedigree/sparse-design.ts";
import type { GrowthDesign, GrowthTermId } from "../growth-design.ts";
import type { GrowthModel } from "../growth-model.ts";
import type { HerdPedigree } from "./herd-pedigree.ts";

/** Terms of the growth model that stand beside the genetic one. */
const BESIDE: readonly GrowthTermId[] = ["pen", "pen_month", "month"];

/** What the records take from a growth model. */
export interface KnownGrowth {
  readonly design: GrowthDesign;
  /** Fixed columns in the model, by position in the design, and their effects. */
  readonly fixed: readonly number[];
  readonly fixedEffects: ArrayLike<number>;
  /** Variance of each random term in the model, and of the residual. */
  readonly variances: ReadonlyMap<GrowthTermId | "residual", number>;
}

export function knownGrowth({ design, fixed, fit, terms }: GrowthModel): KnownGrowth {
  return {
    design,
    fixed,
    fixedEffects: fit.fixedEffects,
    variances: new Map([
      ...terms.map((id, k) => [id, fit.terms[k]!.covariance.values[0]!] as const),
      ["residual", fit.sigmaSquared],
    ]),
  };
}

/**
 * The growth model's intervals as records of an animal model, one an interval between visits: the mean over its
 * claws, cleared of the claws' fixed differences, weighed by what the growth model found an interval and a
 * reading to vary. The animal's effect is parted into an additive and a permanent one.
 */
export function growthRecords(model: KnownGrowth, herd: HerdPedigree): AnimalModelInput {
  const { design, fixed, fixedEffects, variances } = model;
  const { rows, months } = design;
  const { spans } = rows;
  const ofClaw = fixed.map((k) => CLAW_EFFECT.test(design.fixed.names[k]!));
  const y = new Float64Array(spans.count);
  const claws = new Float64Array(spans.count);
  const first = new Int32Array(spans.count).fill(-1);
  for (let i = 0; i < rows.count; i++) {
    const s = rows.span[i]!;
    let growth = rows.growth[i]!;
    fixed.forEach((k, at) => {
      if (ofClaw[at]) growth -= fixedEffects[at]! * design.fixed.columns[k]![i]!;
    });
    y[s]! += growth;
    claws[s]!++;
    if (first[s]! < 0) first[s] = i;
  }
  const varianceOf = (id: GrowthTermId | "residual"): number => variances.get(id) ?? 0;
  const weights = Float64Array.from(y, (_, s) => {
    const d = spans.months[s]!;
    const perClaw =
      varianceOf("residual") / design.weights[first[s]!]! +
      varianceOf("reading") * 2 +
      varianceOf("claw") * d * d;
    return (
      varianceOf("residual") /
      (varianceOf("interval") * d * d + varianceOf("visit") * 2 + perClaw / claws[s]!)
    );
  });
  const loading = Float64Array.from(first, (i) => months[i]!);
  const animals = Int32Array.from(spans.animal, (a) => herd.place.get(rows.animals[a]!)!);
  const onSpans = (id: GrowthTermId): SparseDesign =>
    rowsOf(termDesign(design.random[id]!, rows.count), first);
  return {
    y: y.map((sum, s) => sum / claws[s]!),
    weights,
    fixed: fixed.flatMap((k, at) =>
      ofClaw[at] ? [] : [Float64Array.from(first, (i) => design.fixed.columns[k]![i]!)],
    ),
    pedigree: herd.pedigree,
    animal: indexDesign(animals, herd.tags.length, loading),
    groups: herd.groups,
    others: [
      { name: "permanent", design: indexDesign(Int32Array.from(spans.animal), rows.animals.length, loading) },
      ...BESIDE.filter((id) => variances.has(id)).map((id) => ({ name: id, design: onSpans(id) })),
    ],
  };
}

/** Fixed effects that differ between the claws of one interval, or by how a length was measured. */
const CLAW_EFFECT = /^(hind|outer|basis:)/;

/** Some rows of a design. */
function rowsOf(design: SparseDesign, rows: Int32Array): SparseDesign {
  const rowStart = new Int32Array(rows.length + 1);
  const column: number[] = [];
  const value: number[] = [];
  rows.forEach((row, at) => {
    for (let e = design.rowStart[row]!; e < design.rowStart[row + 1]!; e++) {
      column.push(design.column[e]!);
      value.push(design.value[e]!);
    }
    rowStart[at + 1] = column.length;
  });
  return {
    ...design,
    rows: rows.length,
    rowStart,
    column: Int32Array.from(column),
    value: Float64Array.from(value),
  };
}
