import type { MultipleMembership } from "../mixed-model-terms.ts";

/** Which of the rows equal an earlier one: the first row of each class, and the class of each row. */
export interface RowClasses {
  readonly first: Int32Array;
  readonly classOf: Int32Array;
}

export type KeyColumn = Float64Array | Int32Array | MultipleMembership;

/** Sorts `rows` rows into classes that agree in every key column, in the order of first appearance. */
export function equalRows(rows: number, keys: readonly KeyColumn[]): RowClasses {
  const hash = hashRows(rows, keys);
  const slots = 2 ** Math.ceil(Math.log2(Math.max(2, rows * 2)));
  const mask = slots - 1;
  const table = new Int32Array(slots).fill(-1);
  const classOf = new Int32Array(rows);
  const first = new Int32Array(rows);
  let classes = 0;
  for (let row = 0; row < rows; row++) {
    let slot = hash[row] & mask;
    for (;;) {
      const candidate = table[slot];
      if (candidate < 0) {
        table[slot] = classes;
        first[classes] = row;
        classOf[row] = classes;
        classes += 1;
        break;
      }
      const other = first[candidate];
      if (hash[other] === hash[row] && rowsAgree(keys, other, row)) {
        classOf[row] = candidate;
        break;
      }
      slot = (slot + 1) & mask;
    }
  }
  return { first: first.slice(0, classes), classOf };
}

function hashRows(rows: number, keys: readonly KeyColumn[]): Int32Array {
  const hash = new Int32Array(rows);
  for (const key of keys) {
    if (key instanceof Float64Array) hashNumbers(hash, key);
    else if (key instanceof Int32Array) hashIntegers(hash, key);
    else hashMemberships(hash, key);
  }
  return hash;
}

function hashNumbers(hash: Int32Array, key: Float64Array): void {
  const words = new Int32Array(key.buffer, key.byteOffset, key.length * 2);
  for (let row = 0; row < hash.length; row++) {
    // 0 and −0 are equal but differ in their bits.
    const zero = key[row] === 0;
    hash[row] = mix(mix(hash[row], zero ? 0 : words[2 * row]), zero ? 0 : words[2 * row + 1]);
  }
}

function hashIntegers(hash: Int32Array, key: Int32Array): void {
  for (let row = 0; row < hash.length; row++) hash[row] = mix(hash[row], key[row]);
}

function hashMemberships(hash: Int32Array, key: MultipleMembership): void {
  for (let row = 0; row < hash.length; row++) {
    for (let entry = key.rowStart[row]; entry < key.rowStart[row + 1]; entry++) {
      hash[row] = mix(hash[row], key.level[entry]);
    }
  }
}

function mix(hash: number, word: number): number {
  let h = Math.imul(hash ^ word, 0x9e3779b1);
  h ^= h >>> 15;
  return Math.imul(h, 0x85ebca6b) ^ (h >>> 13);
}

function rowsAgree(keys: readonly KeyColumn[], a: number, b: number): boolean {
  for (const key of keys) {
    if (key instanceof Float64Array || key instanceof Int32Array) {
      if (key[a] !== key[b]) return false;
    } else if (!membershipsAgree(key, a, b)) return false;
  }
  return true;
}

function membershipsAgree(key: MultipleMembership, a: number, b: number): boolean {
  const length = key.rowStart[a + 1] - key.rowStart[a];
  if (key.rowStart[b + 1] - key.rowStart[b] !== length) return false;
  for (let k = 0; k < length; k++) {
    const i = key.rowStart[a] + k;
    const j = key.rowStart[b] + k;
    if (key.level[i] !== key.level[j] || key.weight[i] !== key.weight[j]) return false;
  }
  return true;
}
