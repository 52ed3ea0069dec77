import {
  normalCumulative,
  normalLogCumulative,
  normalLogDensity,
  normalQuantile,
} from "../distributions/normal.ts";

/** The accelerated failure time models: ln T = x'β + σ·error. */
export type AftDistribution = "exponential" | "weibull" | "lognormal" | "loglogistic";

/**
 * A law of the standardised error, written so that a fit can run through a million rows without allocating: each
 * call puts its results in `out`.
 */
export interface ErrorLaw {
  /** out = [ln f, its derivative, its second derivative] at z. */
  readonly exact: (z: number, out: Float64Array) => void;
  /**
   * For P = F(upper) − F(lower), ends possibly infinite: out = [ln P, f(lower)/P, f(upper)/P, f'(lower)/P,
   * f'(upper)/P].
   */
  readonly between: (lower: number, upper: number, out: Float64Array) => void;
  readonly logSurvival: (z: number) => number;
  readonly quantile: (p: number) => number;
  /** Standard deviation, for a first guess of the scale. */
  readonly sd: number;
}

/** Smallest extreme value law, S(z) = exp(−e^z): Weibull times (exponential ones with σ = 1). */
const extremeValue: ErrorLaw = {
  exact(z, out) {
    const hazard = Math.exp(z);
    out[0] = z - hazard;
    out[1] = 1 - hazard;
    out[2] = -hazard;
  },
  between(lower, upper, out) {
    const a = Math.exp(lower);
    if (upper === Infinity) {
      out[0] = -a;
      out[1] = a;
      out[2] = 0;
      out[3] = a * (1 - a);
      out[4] = 0;
      return;
    }
    const b = Math.exp(upper);
    const share = -Math.expm1(a - b);
    const atLower = a / share;
    const atUpper = b - a > 700 ? 0 : (b * (1 - share)) / share;
    out[0] = Math.log(share) - a;
    out[1] = atLower;
    out[2] = atUpper;
    out[3] = atLower * (1 - a);
    out[4] = atUpper === 0 ? 0 : atUpper * (1 - b);
  },
  logSurvival: (z) => -Math.exp(z),
  quantile: (p) => Math.log(-Math.log1p(-p)),
  sd: Math.PI / Math.sqrt(6),
};

/** Logistic law: loglogistic times. */
const logistic: ErrorLaw = {
  exact(z, out) {
    const tail = Math.exp(-Math.abs(z));
    const density = tail / ((1 + tail) * (1 + tail));
    out[0] = -Math.abs(z) - 2 * Math.log1p(tail);
    out[1] = -Math.tanh(z / 2);
    out[2] = -2 * density;
  },
  between(lower, upper, out) {
    const fromLower = softplus(lower);
    const fromUpper = softplus(upper);
    let logP: number;
    let atLower: number;
    let atUpper: number;
    if (upper === Infinity) {
      logP = -fromLower;
      atLower = lower === -Infinity ? 0 : Math.exp(lower - fromLower);
      atUpper = 0;
    } else if (lower === -Infinity) {
      logP = upper - fromUpper;
      atLower = 0;
      atUpper = Math.exp(-fromUpper);
    } else {
      const width = upper - lower;
      const share = -Math.expm1(-width);
      logP = upper + Math.log(share) - fromLower - fromUpper;
      atLower = Math.exp(fromUpper - fromLower - width) / share;
      atUpper = Math.exp(fromLower - fromUpper) / share;
    }
    out[0] = logP;
    out[1] = atLower;
    out[2] = atUpper;
    out[3] = atLower === 0 ? 0 : -atLower * Math.tanh(lower / 2);
    out[4] = atUpper === 0 ? 0 : -atUpper * Math.tanh(upper / 2);
  },
  logSurvival: (z) => -softplus(z),
  quantile: (p) => Math.log(p) - Math.log1p(-p),
  sd: Math.PI / Math.sqrt(3),
};

/** Normal law: lognormal times. */
const normal: ErrorLaw = {
  exact(z, out) {
    out[0] = normalLogDensity(z);
    out[1] = -z;
    out[2] = -1;
  },
  between(lower, upper, out) {
    // The law is symmetric: work in the lower tail, where neither probability rounds to one.
    const mirrored = lower + upper > 0;
    const low = mirrored ? -upper : lower;
    const high = mirrored ? -lower : upper;
    const logP =
      high > -30 ? Math.log(normalCumulative(high) - normalCumulative(low)) : farBetween(low, high);
    const atLower = lower === -Infinity ? 0 : Math.exp(normalLogDensity(lower) - logP);
    const atUpper = upper === Infinity ? 0 : Math.exp(normalLogDensity(upper) - logP);
    out[0] = logP;
    out[1] = atLower;
    out[2] = atUpper;
    out[3] = atLower === 0 ? 0 : -lower * atLower;
    out[4] = atUpper === 0 ? 0 : -upper * atUpper;
  },
  logSurvival: (z) => normalLogCumulative(-z),
  quantile: normalQuantile,
  sd: 1,
};

/** The law of the error behind each distribution of times. */
export const errorLaws: Readonly<Record<AftDistribution, ErrorLaw>> = {
  exponential: extremeValue,
  weibull: extremeValue,
  lognormal: normal,
  loglogistic: logistic,
};

/** ln(Φ(high) − Φ(low)) far in the lower tail. */
function farBetween(low: number, high: number): number {
  const atHigh = normalLogCumulative(high);
  return low === -Infinity ? atHigh : atHigh + Math.log(-Math.expm1(normalLogCumulative(low) - atHigh));
}

/** ln(1 + e^z). */
function softplus(z: number): number {
  return z > 0 ? z + Math.log1p(Math.exp(-z)) : Math.log1p(Math.exp(z));
}
