import type { MixedModel } from "./model-input.ts";

/** The rows of a model with one group each, group by group: those of group g are `start[g]` to `start[g + 1] − 1`. */
export interface GroupedRows {
  readonly groups: number;
  readonly coefficients: number;
  readonly start: Int32Array;
  readonly levelOf: Int32Array;
  readonly largestGroup: number;
  readonly design: Float64Array;
  readonly offset: Float64Array;
  readonly total: Float64Array;
  readonly size: Float64Array;
  readonly effect: Float64Array | null;
}

/** The rows in the order of their groups; levels without rows are left out. */
export function groupRows(model: MixedModel): GroupedRows {
  const [term] = model.terms;
  const level = term.membership as Int32Array;
  const p = model.fixedNames.length;
  const counts = new Int32Array(term.levels + 1);
  for (let i = 0; i < model.rows; i++) counts[level[i] + 1] += 1;
  const levelOf: number[] = [];
  const start: number[] = [0];
  let largestGroup = 0;
  for (let l = 0; l < term.levels; l++) {
    const size = counts[l + 1];
    counts[l + 1] += counts[l];
    if (size === 0) continue;
    levelOf.push(l);
    start.push(counts[l + 1]);
    largestGroup = Math.max(largestGroup, size);
  }
  const design = new Float64Array(model.rows * p);
  const offset = new Float64Array(model.rows);
  const total = new Float64Array(model.rows);
  const size = new Float64Array(model.rows);
  const effect = term.effectValues === null ? null : new Float64Array(model.rows);
  for (let i = 0; i < model.rows; i++) {
    const to = counts[level[i]]++;
    for (let j = 0; j < p; j++) design[to * p + j] = model.design[i * p + j];
    offset[to] = model.offset[i];
    total[to] = model.total[i];
    size[to] = model.size[i];
    if (effect !== null) effect[to] = term.effectValues![i];
  }
  return {
    groups: levelOf.length,
    coefficients: p,
    start: Int32Array.from(start),
    levelOf: Int32Array.from(levelOf),
    largestGroup,
    design,
    offset,
    total,
    size,
    effect,
  };
}
