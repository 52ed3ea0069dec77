import { logGamma } from "../distributions/log-gamma.ts";
import { checkLevel, type Interval } from "../interval.ts";

/** Fisher's exact test of a 2 × 2 table. */
export interface FisherExact {
  /** Probability, both margins fixed and no association, of every table no likelier than the one seen. */
  readonly p: number;
  /** One-sided: odds ratio below one. */
  readonly pLess: number;
  /** One-sided: odds ratio above one. */
  readonly pGreater: number;
  /**
   * Conditional maximum-likelihood odds ratio with exact (tail-method) limits; 0 and Infinity possible. Missing
   * where the margins alone settle the table.
   */
  readonly oddsRatio: Interval | undefined;
}

/**
 * Fisher's exact test of the table [a, b; c, d] (whole counts). The odds ratio is that of Fisher's noncentral
 * hypergeometric distribution (Cornfield 1956). `undefined` for an empty table.
 */
export function fisherExact(
  a: number,
  b: number,
  c: number,
  d: number,
  level = 0.95,
): FisherExact | undefined {
  checkLevel(level);
  if (![a, b, c, d].every((count) => Number.isInteger(count) && count >= 0)) {
    throw new RangeError(`a 2 × 2 table holds whole counts, not ${a}, ${b}, ${c}, ${d}`);
  }
  if (a + b + c + d === 0) return undefined;
  const table = conditionalTable(a + b, c + d, a + c);
  const index = a - table.lowest;
  const probabilities = conditionalProbabilities(table, 0);
  const cut = probabilities[index]! * (1 + 1e-7);
  let p = 0;
  for (const probability of probabilities) if (probability <= cut) p += probability;
  return {
    p: Math.min(1, p),
    pLess: Math.min(1, sum(probabilities, 0, index)),
    pGreater: Math.min(1, sum(probabilities, index, probabilities.length - 1)),
    oddsRatio: oddsRatioInterval(table, index, (1 - level) / 2),
  };
}

/** The support of the first cell given the margins, and the logarithms of its central weights. */
interface ConditionalTable {
  readonly lowest: number;
  readonly logWeights: Float64Array;
}

function conditionalTable(row1: number, row2: number, column1: number): ConditionalTable {
  const lowest = Math.max(0, column1 - row2);
  const highest = Math.min(row1, column1);
  const logWeights = Float64Array.from({ length: highest - lowest + 1 }, (_, i) => {
    const k = lowest + i;
    return -(
      logGamma(k + 1) +
      logGamma(row1 - k + 1) +
      logGamma(column1 - k + 1) +
      logGamma(row2 - column1 + k + 1)
    );
  });
  return { lowest, logWeights };
}

function conditionalProbabilities({ logWeights }: ConditionalTable, logOddsRatio: number): Float64Array {
  const logs = logWeights.map((w, i) => w + i * logOddsRatio);
  const top = logs.reduce((most, w) => Math.max(most, w), -Infinity);
  const weights = logs.map((w) => Math.exp(w - top));
  const total = sum(weights, 0, weights.length - 1);
  return weights.map((w) => w / total);
}

function oddsRatioInterval(table: ConditionalTable, index: number, tail: number): Interval | undefined {
  const last = table.logWeights.length - 1;
  if (last === 0) return undefined;
  const mean = (t: number) => conditionalProbabilities(table, t).reduce((m, p, i) => m + p * i, 0);
  const lower = (t: number) => sum(conditionalProbabilities(table, t), 0, index);
  const upper = (t: number) => sum(conditionalProbabilities(table, t), index, last);
  const root = (rising: (t: number) => number) => Math.exp(bisect(rising));
  const estimate = index === 0 ? 0 : index === last ? Infinity : root((t) => mean(t) - index);
  return {
    estimate,
    lo: index === 0 ? 0 : root((t) => upper(t) - tail),
    hi: index === last ? Infinity : root((t) => tail - lower(t)),
  };
}

/** Root of an increasing function of the log odds ratio. */
function bisect(rising: (t: number) => number): number {
  let low = -1;
  let high = 1;
  while (rising(low) > 0 && low > -700) low *= 2;
  while (rising(high) < 0 && high < 700) high *= 2;
  for (let i = 0; i < 80; i++) {
    const middle = 0.5 * (low + high);
    if (rising(middle) > 0) high = middle;
    else low = middle;
  }
  return 0.5 * (low + high);
}

function sum(values: Float64Array, from: number, to: number): number {
  let total = 0;
  for (let i = from; i <= to; i++) total += values[i]!;
  return total;
}
