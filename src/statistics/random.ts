import { logGamma } from "./distributions/log-gamma.ts";
import { normalQuantile } from "./distributions/normal.ts";

const MASK_64 = (1n << 64n) - 1n;
const GOLDEN = 0x9e3779b97f4a7c15n;

/**
 * Seeded random numbers: xoshiro256** of Blackman & Vigna (2021, Scrambled linear pseudorandom number generators,
 * ACM Trans. Math. Softw. 47:36), state filled by SplitMix64. The same seed gives the same numbers on every
 * machine; independent tasks take `substream(taskNumber)`, so that results do not depend on which core ran what.
 */
export class Random {
  readonly #seed: bigint;
  #s0h = 0;
  #s0l = 0;
  #s1h = 0;
  #s1l = 0;
  #s2h = 0;
  #s2l = 0;
  #s3h = 0;
  #s3l = 0;
  #high = 0;
  #low = 0;

  /** `seed`: an integer below 2^53, or 64 bits. */
  constructor(seed: number | bigint) {
    this.#seed = BigInt.asUintN(64, BigInt(seed));
    const words = splitMix64(this.#seed, 4);
    this.#setState(words[0]!, words[1]!, words[2]!, words[3]!);
  }

  /** A generator whose state is given outright (four 64-bit words, not all zero). */
  static fromState(state: readonly [bigint, bigint, bigint, bigint]): Random {
    if (state.every((word) => word === 0n))
      throw new RangeError("the state of a generator may not be all zero");
    const random = new Random(0);
    random.#setState(...state);
    return random;
  }

  /** An independent generator for task `number` (0, 1, 2, …) of this seed, whatever was drawn before. */
  substream(number: number): Random {
    const [mixed] = splitMix64(this.#seed, 1);
    return new Random(splitMix64(BigInt.asUintN(64, mixed! ^ (BigInt(number + 1) * GOLDEN)), 1)[0]!);
  }

  /** The next 64 random bits. */
  bits64(): bigint {
    this.#next();
    return (BigInt(this.#high >>> 0) << 32n) | BigInt(this.#low >>> 0);
  }

  /** Uniform on [0, 1), 53 bits. */
  uniform(): number {
    this.#next();
    return ((this.#high >>> 5) * 67108864 + (this.#low >>> 6)) / 9007199254740992;
  }

  /** Uniform on (0, 1): never 0 and never 1. */
  openUniform(): number {
    this.#next();
    return ((this.#high >>> 5) * 67108864 + (this.#low >>> 6) + 0.5) / 9007199254740992;
  }

  /** Uniform integer in 0 … bound − 1, without modulo bias; `bound` up to 2^32. */
  integer(bound: number): number {
    if (!(bound >= 1 && bound <= 4294967296) || !Number.isInteger(bound)) {
      throw new RangeError(`bound of a random integer must be a whole number in 1 … 2^32, not ${bound}`);
    }
    const limit = 4294967296 - (4294967296 % bound);
    for (;;) {
      this.#next();
      const word = this.#high >>> 0;
      if (word < limit) return word % bound;
    }
  }

  /** True with probability `p`. */
  bernoulli(p: number): boolean {
    return this.uniform() < p;
  }

  /** Standard normal, by inversion: one uniform each. */
  normal(): number {
    return normalQuantile(this.openUniform());
  }

  /** Exponential with mean 1. */
  exponential(): number {
    return -Math.log(this.openUniform());
  }

  /** Gamma with the given shape > 0 and rate > 0: Marsaglia & Tsang (2000), ACM Trans. Math. Softw. 26:363. */
  gamma(shape: number, rate = 1): number {
    if (!(shape > 0 && rate > 0))
      throw new RangeError(`gamma needs shape and rate above zero, not ${shape}, ${rate}`);
    if (shape < 1) return this.gamma(shape + 1, rate) * Math.exp(-this.exponential() / shape);
    const d = shape - 1 / 3;
    const c = 1 / Math.sqrt(9 * d);
    for (;;) {
      const z = this.normal();
      const root = 1 + c * z;
      if (root <= 0) continue;
      const v = root * root * root;
      if (Math.log(this.openUniform()) < 0.5 * z * z + d - d * v + d * Math.log(v)) return (d * v) / rate;
    }
  }

  /** Chi-square with `df` > 0 degrees of freedom. */
  chiSquare(df: number): number {
    return 2 * this.gamma(df / 2);
  }

  /** Poisson count: inversion below a mean of 10, above it the transformed rejection PTRS of Hörmann (1993), Insurance Math. Econom. 12:39. */
  poisson(mean: number): number {
    if (!(mean >= 0 && mean < Infinity))
      throw new RangeError(`a Poisson mean must be at least zero, not ${mean}`);
    return mean < 10 ? this.#poissonByInversion(mean) : this.#poissonByRejection(mean);
  }

  /** Binomial count: inversion while n·min(p, 1 − p) is below 10, above it BTRS of Hörmann (1993), J. Stat. Comput. Simul. 46:101. */
  binomial(n: number, p: number): number {
    if (!(Number.isInteger(n) && n >= 0 && p >= 0 && p <= 1)) {
      throw new RangeError(`a binomial needs whole n and p within 0 … 1, not ${n}, ${p}`);
    }
    if (p > 0.5) return n - this.binomial(n, 1 - p);
    return n * p < 10 ? this.#binomialByInversion(n, p) : this.#binomialByRejection(n, p);
  }

  /** Shuffles in place (Fisher & Yates) and returns the same array. */
  shuffle<T extends { [index: number]: unknown; readonly length: number }>(items: T): T {
    for (let i = items.length - 1; i > 0; i--) {
      const j = this.integer(i + 1);
      const kept = items[i];
      items[i] = items[j];
      items[j] = kept;
    }
    return items;
  }

  /** Fills `target` with integers drawn with replacement from 0 … bound − 1: one bootstrap sample. */
  resample(target: Int32Array, bound: number): Int32Array {
    for (let i = 0; i < target.length; i++) target[i] = this.integer(bound);
    return target;
  }

  #poissonByInversion(mean: number): number {
    const u = this.uniform();
    let term = Math.exp(-mean);
    let cumulative = term;
    let k = 0;
    while (u >= cumulative && k < 1000) {
      k++;
      term *= mean / k;
      cumulative += term;
    }
    return k;
  }

  #poissonByRejection(mean: number): number {
    const b = 0.931 + 2.53 * Math.sqrt(mean);
    const a = -0.059 + 0.02483 * b;
    const inverseAlpha = 1.1239 + 1.1328 / (b - 3.4);
    const vr = 0.9277 - 3.6224 / (b - 2);
    const logMean = Math.log(mean);
    for (;;) {
      const u = this.openUniform() - 0.5;
      const v = this.openUniform();
      const us = 0.5 - Math.abs(u);
      const k = Math.floor(((2 * a) / us + b) * u + mean + 0.43);
      if (us >= 0.07 && v <= vr) return k;
      if (k < 0 || (us < 0.013 && v > us)) continue;
      const logRatio = Math.log((v * inverseAlpha) / (a / (us * us) + b));
      if (logRatio <= k * logMean - mean - logGamma(k + 1)) return k;
    }
  }

  #binomialByInversion(n: number, p: number): number {
    if (p === 0 || n === 0) return 0;
    const odds = p / (1 - p);
    const u = this.uniform();
    let term = Math.exp(n * Math.log1p(-p));
    let cumulative = term;
    let k = 0;
    while (u >= cumulative && k < n) {
      k++;
      term *= (odds * (n - k + 1)) / k;
      cumulative += term;
    }
    return k;
  }

  #binomialByRejection(n: number, p: number): number {
    const sd = Math.sqrt(n * p * (1 - p));
    const b = 1.15 + 2.53 * sd;
    const a = -0.0873 + 0.0248 * b + 0.01 * p;
    const c = n * p + 0.5;
    const vr = 0.92 - 4.2 / b;
    const alpha = (2.83 + 5.1 / b) * sd;
    const logOdds = Math.log(p / (1 - p));
    const mode = Math.floor((n + 1) * p);
    const atMode = logGamma(mode + 1) + logGamma(n - mode + 1);
    for (;;) {
      const u = this.openUniform() - 0.5;
      const v = this.openUniform();
      const us = 0.5 - Math.abs(u);
      const k = Math.floor(((2 * a) / us + b) * u + c);
      if (k < 0 || k > n) continue;
      if (us >= 0.07 && v <= vr) return k;
      const logRatio = Math.log((v * alpha) / (a / (us * us) + b));
      if (logRatio <= atMode - logGamma(k + 1) - logGamma(n - k + 1) + (k - mode) * logOdds) return k;
    }
  }

  /** One step; the output's 64 bits go to `#high` and `#low`. All sums are taken on 32-bit halves with a carry. */
  #next(): void {
    const h = this.#s1h;
    const l = this.#s1l;
    // r = s1 · 5
    let low = (l >>> 0) + ((l << 2) >>> 0);
    let high = (h + ((h << 2) | (l >>> 30)) + (low > 4294967295 ? 1 : 0)) | 0;
    low |= 0;
    // r = rotate left by 7
    const rotatedHigh = (high << 7) | (low >>> 25);
    const rotatedLow = (low << 7) | (high >>> 25);
    // r = r · 9
    low = (rotatedLow >>> 0) + ((rotatedLow << 3) >>> 0);
    high = (rotatedHigh + ((rotatedHigh << 3) | (rotatedLow >>> 29)) + (low > 4294967295 ? 1 : 0)) | 0;
    this.#high = high;
    this.#low = low | 0;

    const shiftedHigh = (h << 17) | (l >>> 15);
    const shiftedLow = l << 17;
    this.#s2h ^= this.#s0h;
    this.#s2l ^= this.#s0l;
    this.#s3h ^= this.#s1h;
    this.#s3l ^= this.#s1l;
    this.#s1h ^= this.#s2h;
    this.#s1l ^= this.#s2l;
    this.#s0h ^= this.#s3h;
    this.#s0l ^= this.#s3l;
    this.#s2h ^= shiftedHigh;
    this.#s2l ^= shiftedLow;
    // s3 = rotate left by 45
    const s3h = this.#s3h;
    const s3l = this.#s3l;
    this.#s3h = (s3l << 13) | (s3h >>> 19);
    this.#s3l = (s3h << 13) | (s3l >>> 19);
  }

  #setState(s0: bigint, s1: bigint, s2: bigint, s3: bigint): void {
    const high = (word: bigint) => Number(BigInt.asIntN(32, word >> 32n));
    const low = (word: bigint) => Number(BigInt.asIntN(32, word));
    this.#s0h = high(s0);
    this.#s0l = low(s0);
    this.#s1h = high(s1);
    this.#s1l = low(s1);
    this.#s2h = high(s2);
    this.#s2l = low(s2);
    this.#s3h = high(s3);
    this.#s3l = low(s3);
  }
}

/** The first `count` outputs of SplitMix64 (Steele, Lea & Flood 2014, OOPSLA '14) from the given state. */
export function splitMix64(state: bigint, count: number): bigint[] {
  const words: bigint[] = [];
  let s = state;
  for (let i = 0; i < count; i++) {
    s = (s + GOLDEN) & MASK_64;
    let z = s;
    z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & MASK_64;
    z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & MASK_64;
    words.push(z ^ (z >> 31n));
  }
  return words;
}
