import {
  type LinearModelData,
  logLikelihoodConstant,
  unfit,
} from "../generalized-linear/linear-model-input.ts";
import type { MultipleMembership, RandomTerm } from "../mixed-model-terms.ts";
import type { Unfit } from "../verdict.ts";
import { equalRows, type KeyColumn } from "./equal-rows.ts";
import type { GeneralizedMixedInput, MixedModel, ModelTerm } from "./model-input.ts";

/**
 * Checks the input and lays it out for fitting: rows that agree in everything but the outcome become one row with
 * the sum of outcomes and trials, which leaves the likelihood as it is.
 */
export function parseMixedModel(input: GeneralizedMixedInput): MixedModel | Unfit {
  const rows = input.outcome.length;
  const trouble = whyNot(input);
  if (trouble !== null) return trouble;
  const keys: KeyColumn[] = [...input.fixed.columns];
  if (input.offset !== undefined) keys.push(input.offset);
  for (const term of input.random) keys.push(term.membership, ...(term.effects ?? []));
  const { first, classOf } = equalRows(rows, keys);
  const merged = first.length;
  const total = new Float64Array(merged);
  const size = new Float64Array(merged);
  for (let row = 0; row < rows; row++) {
    total[classOf[row]] += input.outcome[row];
    size[classOf[row]] += input.trials?.[row] ?? 1;
  }
  const width = input.fixed.columns.length;
  const design = new Float64Array(merged * width);
  input.fixed.columns.forEach((column, j) => {
    for (let k = 0; k < merged; k++) design[k * width + j] = column[first[k]];
  });
  const offset = new Float64Array(merged);
  if (input.offset !== undefined) for (let k = 0; k < merged; k++) offset[k] = input.offset[first[k]];
  return {
    family: input.family,
    rows: merged,
    rowsBeforeMerging: rows,
    fixedNames: input.fixed.names,
    design,
    offset,
    total,
    size,
    terms: input.random.map((term) => layOutTerm(term, first)),
    logConstant: dataConstant(input),
  };
}

/** The fixed part of a mixed model as a model of its own; with `stride`, of every so-manieth row only. */
export function fixedPart(model: MixedModel, stride = 1): LinearModelData {
  const { fixedNames } = model;
  const p = fixedNames.length;
  const rows = Math.ceil(model.rows / stride);
  const every = (values: Float64Array, width = 1) => {
    if (stride === 1) return values;
    const picked = new Float64Array(rows * width);
    for (let i = 0; i < rows; i++) {
      for (let j = 0; j < width; j++) picked[i * width + j] = values[i * stride * width + j];
    }
    return picked;
  };
  return {
    family: model.family,
    names: fixedNames,
    design: { rows, columns: p, values: every(model.design, p) },
    outcome: every(model.total),
    trials: every(model.size),
    offset: every(model.offset),
    priorWeights: new Float64Array(rows).fill(1),
  };
}

function whyNot(input: GeneralizedMixedInput): Unfit | null {
  const { fixed, random } = input;
  const rows = input.outcome.length;
  if (rows === 0) return unfit("no_rows", "no rows");
  if (fixed.names.length !== fixed.columns.length) return unfit("invalid_input", "one name a column");
  const arrays: [string, Float64Array | undefined][] = [
    ["outcome", input.outcome],
    ["trials", input.trials],
    ["offset", input.offset],
    ...fixed.columns.map((column, j): [string, Float64Array] => [fixed.names[j], column]),
    ...random.flatMap(({ name, effects }) => (effects ?? []).map((e): [string, Float64Array] => [name, e])),
  ];
  for (const [name, array] of arrays) {
    if (array === undefined) continue;
    if (array.length !== rows) return unfit("invalid_input", `${name} has ${array.length} of ${rows} rows`);
    for (let i = 0; i < rows; i++) {
      if (!Number.isFinite(array[i])) return unfit("invalid_input", `${name} has a value that is no number`);
    }
  }
  for (let i = 0; i < rows; i++) {
    const y = input.outcome[i];
    if (!(y >= 0) || !Number.isInteger(y))
      return unfit("invalid_input", "outcome must be whole, not negative");
    if (input.family.distribution !== "binomial") continue;
    const n = input.trials?.[i] ?? 1;
    if (!Number.isInteger(n) || y > n) return unfit("invalid_input", `${y} successes in ${n} trials`);
  }
  if (random.length === 0) return unfit("invalid_input", "no random term");
  for (const term of random) {
    const trouble = whyNotTerm(term, rows);
    if (trouble !== null) return trouble;
  }
  return null;
}

function whyNotTerm(term: RandomTerm, rows: number): Unfit | null {
  const { membership, levels, name } = term;
  if (term.effects?.length === 0) return unfit("invalid_input", `${name} has no effect`);
  const single = membership instanceof Int32Array;
  const level = single ? membership : membership.level;
  if (single ? level.length !== rows : !isMembership(membership, rows)) {
    return unfit("invalid_input", `${name}: membership does not fit ${rows} rows`);
  }
  const seen = new Uint8Array(levels);
  let count = 0;
  for (let e = 0; e < level.length; e++) {
    if (single && level[e] === -1) continue;
    if (!(level[e] >= 0 && level[e] < levels)) return unfit("invalid_input", `${name}: level ${level[e]}`);
    count += 1 - seen[level[e]];
    seen[level[e]] = 1;
  }
  return count < 2 ? unfit("too_few_groups", `${name} has ${count} level with rows`) : null;
}

function isMembership(membership: MultipleMembership, rows: number): boolean {
  const { rowStart, level, weight } = membership;
  if (rowStart.length !== rows + 1 || rowStart[0] !== 0 || rowStart[rows] !== level.length) return false;
  return weight.length === level.length && weight.every(Number.isFinite);
}

function layOutTerm(term: RandomTerm, first: Int32Array): ModelTerm {
  const effectCount = term.effects?.length ?? 1;
  let effectValues: Float64Array | null = null;
  if (term.effects !== undefined) {
    effectValues = new Float64Array(first.length * effectCount);
    for (let k = 0; k < first.length; k++) {
      for (let a = 0; a < effectCount; a++) effectValues[k * effectCount + a] = term.effects[a][first[k]];
    }
  }
  return {
    name: term.name,
    levels: term.levels,
    effectCount,
    independent: term.independent ?? false,
    membership:
      term.membership instanceof Int32Array
        ? pickLevels(term.membership, first)
        : pickMemberships(term.membership, first),
    effectValues,
  };
}

/** The levels of the picked rows; where some have none, as memberships of no level or one. */
function pickLevels(level: Int32Array, first: Int32Array): Int32Array | MultipleMembership {
  const picked = new Int32Array(first.length);
  for (let k = 0; k < first.length; k++) picked[k] = level[first[k]];
  if (!picked.includes(-1)) return picked;
  const rowStart = new Int32Array(first.length + 1);
  for (let k = 0; k < first.length; k++) rowStart[k + 1] = rowStart[k] + (picked[k] < 0 ? 0 : 1);
  const kept = picked.filter((l) => l >= 0);
  return { rowStart, level: kept, weight: new Float64Array(kept.length).fill(1) };
}

function pickMemberships(membership: MultipleMembership, first: Int32Array): MultipleMembership {
  const rowStart = new Int32Array(first.length + 1);
  for (let k = 0; k < first.length; k++) {
    rowStart[k + 1] = rowStart[k] + membership.rowStart[first[k] + 1] - membership.rowStart[first[k]];
  }
  const level = new Int32Array(rowStart[first.length]);
  const weight = new Float64Array(level.length);
  for (let k = 0; k < first.length; k++) {
    const from = membership.rowStart[first[k]];
    level.set(membership.level.subarray(from, membership.rowStart[first[k] + 1]), rowStart[k]);
    weight.set(membership.weight.subarray(from, membership.rowStart[first[k] + 1]), rowStart[k]);
  }
  return { rowStart, level, weight };
}

function dataConstant(input: GeneralizedMixedInput): number {
  const rows = input.outcome.length;
  if (input.family.distribution === "binomial" && input.trials === undefined) return 0;
  const ones = new Float64Array(rows).fill(1);
  return logLikelihoodConstant({
    family: input.family,
    names: [],
    design: { rows, columns: 0, values: new Float64Array(0) },
    outcome: input.outcome,
    trials: input.trials ?? ones,
    offset: ones,
    priorWeights: ones,
  });
}
