import type { Random } from "../random.ts";

/** A stretch in which events came faster than expected. */
export interface CusumSignal {
  /** Index of the first observation since the sum last stood at zero. */
  readonly started: number;
  readonly signalled: number;
  /** Events seen and expected from `started` to `signalled`. */
  readonly events: number;
  readonly expected: number;
  readonly statistic: number;
}

export interface BernoulliCusum {
  readonly statistic: Float64Array;
  readonly signals: readonly CusumSignal[];
}

/**
 * Risk-adjusted CUSUM of yes/no observations for a rise of the odds by `oddsRatio` > 1 over each observation's own
 * expected probability (Steiner, Cook, Farewell & Treasure 2000, Biostatistics 1:441-452). A signal comes when the
 * sum reaches `limit`; the sum then starts again from zero.
 */
export function bernoulliCusum(
  events: ArrayLike<number | boolean>,
  expected: ArrayLike<number>,
  oddsRatio: number,
  limit: number,
): BernoulliCusum {
  checkOddsRatio(oddsRatio);
  if (events.length !== expected.length)
    throw new RangeError(`${expected.length} probabilities for ${events.length}`);
  if (!(limit > 0)) throw new RangeError(`a limit must be above zero, not ${limit}`);
  const statistic = new Float64Array(events.length);
  const signals: CusumSignal[] = [];
  let sum = 0;
  let started = 0;
  for (let i = 0; i < events.length; i++) {
    if (sum === 0) started = i;
    sum = Math.max(0, sum + score(Boolean(events[i]), checked(expected[i]), oddsRatio));
    statistic[i] = sum;
    if (sum < limit) continue;
    let seen = 0;
    let due = 0;
    for (let j = started; j <= i; j++) {
      seen += Number(events[j]);
      due += expected[j];
    }
    signals.push({ started, signalled: i, events: seen, expected: due, statistic: sum });
    sum = 0;
  }
  return { statistic, signals };
}

export interface CusumLimitInput {
  /** Expected probabilities of the observations to come; simulation draws from them with replacement. */
  readonly expected: ArrayLike<number>;
  readonly oddsRatio: number;
  /** Wanted mean number of observations between false signals. */
  readonly runLength: number;
  readonly random: Random;
  /** Simulated runs, each watched for up to twice the run length (default 1000). */
  readonly runs?: number;
}

/** A limit and how well the simulation knows its run length. */
export interface CusumLimit {
  readonly limit: number;
  /** Simulated mean run length at this limit, and its standard error. */
  readonly runLength: number;
  readonly standardError: number;
}

/**
 * The lowest limit at which false signals are at least `runLength` observations apart on average, by simulation
 * without a rise. Each run is kept as its record highs, so that one set of runs serves every limit; a run without a
 * signal counts as censored (run lengths are close to geometric: Steiner et al. 2000). `undefined` where no
 * observation can raise the sum.
 */
export function bernoulliCusumLimit(input: CusumLimitInput): CusumLimit | undefined {
  const { expected, oddsRatio, runLength, random, runs = 1000 } = input;
  checkOddsRatio(oddsRatio);
  if (!(runLength >= 1)) throw new RangeError(`a run length is at least 1, not ${runLength}`);
  const size = expected.length;
  if (size === 0) return undefined;
  const onEvent = Float64Array.from(expected, (p) => score(true, checked(p), oddsRatio));
  const otherwise = Float64Array.from(expected, (p) => score(false, p, oddsRatio));
  const watched = Math.ceil(2 * runLength);
  const highs: number[][] = [];
  const times: number[][] = [];
  const candidates = new Set<number>();
  for (let run = 0; run < runs; run++) {
    const stream = random.substream(run);
    const high: number[] = [];
    const time: number[] = [];
    let sum = 0;
    let record = 0;
    for (let t = 1; t <= watched; t++) {
      const k = stream.integer(size);
      sum = Math.max(0, sum + (stream.bernoulli(expected[k]) ? onEvent[k] : otherwise[k]));
      if (sum > record) {
        record = sum;
        high.push(sum);
        time.push(t);
        candidates.add(sum);
      }
    }
    highs.push(high);
    times.push(time);
  }
  const ascending = Float64Array.from(candidates).sort();
  if (ascending.length === 0) return undefined;
  const at = (limit: number): CusumLimit => {
    let total = 0;
    let signals = 0;
    for (let run = 0; run < runs; run++) {
      const first = firstAtLeast(highs[run], limit);
      if (first < highs[run].length) signals++;
      total += first < highs[run].length ? times[run][first] : watched;
    }
    const mean = signals === 0 ? Infinity : total / signals;
    return { limit, runLength: mean, standardError: mean / Math.sqrt(Math.max(1, signals)) };
  };
  let low = 0;
  let high = ascending.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (at(ascending[middle]).runLength >= runLength) high = middle;
    else low = middle + 1;
  }
  return at(ascending[low]);
}

/** Log-likelihood ratio of one observation for odds raised by `oddsRatio`. */
function score(event: boolean, p: number, oddsRatio: number): number {
  return (event ? Math.log(oddsRatio) : 0) - Math.log(1 - p + oddsRatio * p);
}

function firstAtLeast(ascending: readonly number[], value: number): number {
  let low = 0;
  let high = ascending.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ascending[middle] >= value) high = middle;
    else low = middle + 1;
  }
  return low;
}

function checked(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`an expected probability lies within 0 and 1, not ${p}`);
  return p;
}

function checkOddsRatio(oddsRatio: number): void {
  if (!(oddsRatio > 1 && oddsRatio < Infinity))
    throw new RangeError(`odds must rise, not change by ${oddsRatio}`);
}
