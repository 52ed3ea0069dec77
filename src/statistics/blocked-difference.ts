import { tTwoSided, tUpperQuantile } from "./distributions/student-t.ts";

/** Values of one sample, each with the number of the block that it lies in, from 0. */
export interface BlockedSample {
  readonly values: readonly number[];
  readonly blocks: readonly number[];
}

/** Difference of two means with its 95 % limits. */
export interface MeanDifference {
  readonly difference: number;
  readonly lo: number;
  readonly hi: number;
  readonly df: number;
  readonly p: number;
}

/**
 * Difference of two samples within blocks, `first` less `second`: least squares of value = block + sample with a common
 * variance, exact for normal values (Yates 1934, J. Am. Stat. Assoc. 29:51-66; Snedecor & Cochran, Statistical Methods,
 * two-way tables with unequal numbers). A block that holds one sample alone says nothing of the difference. Degrees of
 * freedom: values less blocks less 1; with one block it is Student's two-sample t (1908, Biometrika 6:1-25). undefined
 * where no block holds both, nothing is left to estimate the variance by, or nothing varies.
 */
export function blockedDifference(first: BlockedSample, second: BlockedSample): MeanDifference | undefined {
  const [a, b] = [sumsByBlock(first), sumsByBlock(second)];
  const size = Math.max(a.counts.length, b.counts.length);
  let blocks = 0;
  let weight = 0;
  let weighted = 0;
  let weightedSquares = 0;
  for (let k = 0; k < size; k++) {
    const [m, n] = [a.counts[k] ?? 0, b.counts[k] ?? 0];
    if (m + n > 0) blocks++;
    if (m === 0 || n === 0) continue;
    const own = (m * n) / (m + n);
    const apart = a.sums[k]! / m - b.sums[k]! / n;
    weight += own;
    weighted += own * apart;
    weightedSquares += own * apart * apart;
  }
  const df = first.values.length + second.values.length - blocks - 1;
  if (weight === 0 || df < 1) return undefined;
  const difference = weighted / weight;
  const betweenBlocks = Math.max(0, weightedSquares - weight * difference * difference);
  const squares = squaresWithin(first, a) + squaresWithin(second, b) + betweenBlocks;
  const standardError = Math.sqrt(squares / df / weight);
  if (!(standardError > 0)) return undefined;
  const reach = tUpperQuantile(0.025, df) * standardError;
  return {
    difference,
    lo: difference - reach,
    hi: difference + reach,
    df,
    p: tTwoSided(difference / standardError, df),
  };
}

interface BlockSums {
  readonly counts: readonly number[];
  readonly sums: readonly number[];
}

function sumsByBlock({ values, blocks }: BlockedSample): BlockSums {
  const counts: number[] = [];
  const sums: number[] = [];
  values.forEach((value, i) => {
    const block = blocks[i]!;
    while (counts.length <= block) {
      counts.push(0);
      sums.push(0);
    }
    counts[block]! += 1;
    sums[block]! += value;
  });
  return { counts, sums };
}

/** Squares about the mean of each block. */
function squaresWithin({ values, blocks }: BlockedSample, { counts, sums }: BlockSums): number {
  let squares = 0;
  for (let i = 0; i < values.length; i++) {
    const block = blocks[i]!;
    squares += (values[i]! - sums[block]! / counts[block]!) ** 2;
  }
  return squares;
}
