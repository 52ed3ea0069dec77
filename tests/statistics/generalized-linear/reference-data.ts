import { readFileSync } from "node:fs";

export interface ReferenceMatrix {
  readonly nrow: number;
  readonly ncol: number;
  readonly row_major: readonly number[];
}

export interface ReferenceFile<Results> {
  readonly source: string;
  readonly data: Readonly<Record<string, { readonly columns: Readonly<Record<string, readonly number[]>> }>>;
  readonly cases: Readonly<Record<string, { readonly results: Results }>>;
}

/** A file of published or independently computed values from the folder of references. */
export function readReference<Results>(name: string): ReferenceFile<Results> {
  return JSON.parse(readFileSync(new URL(`../../reference/${name}`, import.meta.url), "utf8"));
}

export function ones(length: number): Float64Array {
  return new Float64Array(length).fill(1);
}

/** Indicator columns of every level but the first (treatment contrasts). */
export function indicators(codes: readonly number[], levels: number): Float64Array[] {
  return Array.from({ length: levels - 1 }, (_, k) =>
    Float64Array.from(codes, (code) => (code === k + 1 ? 1 : 0)),
  );
}

/** Largest |got − want| / (absolute + |want|·relative); at most one when all agree. */
export function disagreement(
  got: ArrayLike<number>,
  want: ArrayLike<number>,
  relative: number,
  absolute = relative,
): number {
  let worst = 0;
  for (let k = 0; k < want.length; k++) {
    const miss = Math.abs(got[k] - want[k]) / (absolute + relative * Math.abs(want[k]));
    if (!(miss <= worst)) worst = Number.isNaN(miss) ? Number.POSITIVE_INFINITY : miss;
  }
  return worst;
}
