import type { RandomTerm } from "../mixed-model-terms.ts";

/**
 * A group of random columns with one covariance matrix: column `offset + level * size + effect`. A term with
 * independent effects makes one block an effect.
 */
export interface RandomBlock {
  /** The term it came from, and the first of the term's effects that it holds. */
  readonly term: number;
  readonly firstEffect: number;
  readonly size: number;
  readonly levels: number;
  readonly offset: number;
}

/** The random design Z by rows: row i has entries rowStart[i] to rowStart[i + 1] − 1, columns ascending. */
export interface RandomColumns {
  readonly count: number;
  readonly blocks: readonly RandomBlock[];
  readonly rowStart: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
}

/** Number of effects that each level of a term has. */
export function effectCount(term: RandomTerm): number {
  return term.effects?.length ?? 1;
}

/** Lays the random terms of a model out as columns of one sparse design of `rows` rows. */
export function randomColumns(terms: readonly RandomTerm[], rows: number): RandomColumns {
  const blocks: RandomBlock[] = [];
  let count = 0;
  terms.forEach((term, t) => {
    const effects = effectCount(term);
    const size = term.independent === true ? 1 : effects;
    for (let firstEffect = 0; firstEffect < effects; firstEffect += size) {
      blocks.push({ term: t, firstEffect, size, levels: term.levels, offset: count });
      count += term.levels * size;
    }
  });
  const rowStart = new Int32Array(rows + 1);
  for (const block of blocks) countEntries(terms[block.term]!, block.size, rowStart);
  for (let i = 0; i < rows; i++) rowStart[i + 1]! += rowStart[i]!;
  const column = new Int32Array(rowStart[rows]!);
  const value = new Float64Array(rowStart[rows]!);
  const next = rowStart.slice(0, rows);
  for (const block of blocks) fillEntries(terms[block.term]!, block, next, column, value);
  return { count, blocks, rowStart, column, value };
}

/** The column of an effect of a level of a term. */
export function columnOf(
  blocks: readonly RandomBlock[],
  term: number,
  level: number,
  effect: number,
): number {
  for (const block of blocks) {
    const within = effect - block.firstEffect;
    if (block.term !== term || within < 0 || within >= block.size) continue;
    if (level < 0 || level >= block.levels) break;
    return block.offset + level * block.size + within;
  }
  throw new RangeError(`no effect ${effect} of level ${level} in term ${term}`);
}

function countEntries(term: RandomTerm, size: number, rowStart: Int32Array): void {
  const { membership } = term;
  for (let i = 0; i < rowStart.length - 1; i++) {
    if (membership instanceof Int32Array) {
      if (membership[i]! >= 0) rowStart[i + 1]! += size;
    } else {
      rowStart[i + 1]! += size * (membership.rowStart[i + 1]! - membership.rowStart[i]!);
    }
  }
}

function fillEntries(
  term: RandomTerm,
  block: RandomBlock,
  next: Int32Array,
  column: Int32Array,
  value: Float64Array,
): void {
  const { membership } = term;
  const effects = term.effects?.slice(block.firstEffect, block.firstEffect + block.size);
  const put = (row: number, level: number, weight: number): void => {
    for (let e = 0; e < block.size; e++) {
      const at = next[row]!++;
      column[at] = block.offset + level * block.size + e;
      value[at] = effects === undefined ? weight : weight * effects[e]![row]!;
    }
  };
  if (membership instanceof Int32Array) {
    for (let i = 0; i < next.length; i++) if (membership[i]! >= 0) put(i, membership[i]!, 1);
    return;
  }
  const order: number[] = [];
  for (let i = 0; i < next.length; i++) {
    order.length = 0;
    for (let k = membership.rowStart[i]!; k < membership.rowStart[i + 1]!; k++) order.push(k);
    order.sort((a, b) => membership.level[a]! - membership.level[b]! || a - b);
    for (const k of order) put(i, membership.level[k]!, membership.weight[k]!);
  }
}
