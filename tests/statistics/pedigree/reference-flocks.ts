import { readFileSync } from "node:fs";
import { type Pedigree, pedigree } from "../../../src/statistics/pedigree/pedigree.ts";

/** Pedigrees, records and answers of tests/reference/pedigree.json; the file names their sources. */
interface ReferenceFile {
  readonly datasets: Record<string, ReferenceFlock>;
  readonly cases: Record<string, { readonly dataset: string; readonly results: ReferenceResults }>;
  readonly random_mating_1e4: Record<string, number>;
}

export interface ReferenceFlock {
  readonly pedigree: { readonly id: number[]; readonly sire: number[]; readonly dam: number[] };
  readonly records: Record<string, number[]>;
}

export interface ReferenceMatrix {
  readonly nrow: number;
  readonly row_major: number[];
}

// The results of each case have their own shape; each test names the ones it reads.
export type ReferenceResults = Record<string, never>;

const file = JSON.parse(
  readFileSync(new URL("../../reference/pedigree.json", import.meta.url), "utf8"),
) as ReferenceFile;

export function referenceFlock(name: string): ReferenceFlock {
  return file.datasets[name];
}

export function referenceCase<Results>(id: string): Results {
  return file.cases[id].results as Results;
}

export const randomMatingReference = file.random_mating_1e4;

/** Zero-based indices with -1 for 0, as the pedigree takes them. */
export function zeroBased(oneBased: readonly number[]): number[] {
  return oneBased.map((x) => x - 1);
}

export function checkedPedigree(sire: ArrayLike<number>, dam: ArrayLike<number>): Pedigree {
  const checked = pedigree({ sire, dam });
  if (!checked.ok) throw new Error(`faults: ${JSON.stringify(checked.faults)}`);
  return checked.pedigree;
}

export function referencePedigree(name: string): Pedigree {
  const { sire, dam } = referenceFlock(name).pedigree;
  return checkedPedigree(zeroBased(sire), zeroBased(dam));
}

/** A symmetric pattern-stored matrix written out in full, row-major. */
export function written(matrix: {
  readonly order: number;
  readonly columnStart: Int32Array;
  readonly rowIndex: Int32Array;
  readonly values: Float64Array;
}): Float64Array {
  const full = new Float64Array(matrix.order ** 2);
  for (let j = 0; j < matrix.order; j++) {
    for (let e = matrix.columnStart[j]; e < matrix.columnStart[j + 1]; e++) {
      full[matrix.rowIndex[e] * matrix.order + j] = matrix.values[e];
      full[j * matrix.order + matrix.rowIndex[e]] = matrix.values[e];
    }
  }
  return full;
}

/** Largest |got - want| / (1 + |want|). */
export function largestDifference(got: ArrayLike<number>, want: ArrayLike<number>): number {
  if (got.length !== want.length) return Number.POSITIVE_INFINITY;
  let largest = 0;
  for (let i = 0; i < want.length; i++) {
    const difference = Math.abs(got[i] - want[i]) / (1 + Math.abs(want[i]));
    if (!(difference <= largest)) largest = difference;
  }
  return largest;
}
