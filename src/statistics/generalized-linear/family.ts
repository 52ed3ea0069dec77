/** A distribution of the outcome with the link between its mean and the linear predictor. */
export type Family =
  | { readonly distribution: "gaussian"; readonly link: "identity" | "log" }
  | { readonly distribution: "binomial"; readonly link: "logit" | "cloglog" | "log" | "identity" }
  | { readonly distribution: "poisson"; readonly link: "log" | "identity" };

export type Distribution = Family["distribution"];
export type LinkName = Family["link"];

/** A link g with mean μ = g⁻¹(η). */
export interface Link {
  readonly predictor: (mean: number) => number;
  readonly mean: (eta: number) => number;
  /**
   * For every η: the mean, its complement 1 − μ (kept apart because subtraction loses it when μ is near one) and
   * the slope dμ/dη.
   */
  readonly fill: (eta: Float64Array, into: MeanArrays) => void;
}

export interface MeanArrays {
  readonly mean: Float64Array;
  readonly complement: Float64Array;
  readonly slope: Float64Array;
}

export function meanArrays(rows: number): MeanArrays {
  return { mean: new Float64Array(rows), complement: new Float64Array(rows), slope: new Float64Array(rows) };
}

/** Keeps probabilities off 0 and 1, which are inside no parameter space, where the arithmetic would round to them. */
const SMALLEST = 1e-300;

export const links: Readonly<Record<LinkName, Link>> = {
  identity: {
    predictor: (mean) => mean,
    mean: (eta) => eta,
    fill(eta, { mean, complement, slope }) {
      for (let i = 0; i < eta.length; i++) {
        mean[i] = eta[i];
        complement[i] = 1 - eta[i];
        slope[i] = 1;
      }
    },
  },
  log: {
    predictor: Math.log,
    mean: Math.exp,
    fill(eta, { mean, complement, slope }) {
      for (let i = 0; i < eta.length; i++) {
        mean[i] = Math.exp(eta[i]);
        complement[i] = -Math.expm1(eta[i]);
        slope[i] = mean[i];
      }
    },
  },
  logit: {
    predictor: (mean) => Math.log(mean / (1 - mean)),
    mean: (eta) => 1 / (1 + Math.exp(-eta)),
    fill(eta, { mean, complement, slope }) {
      for (let i = 0; i < eta.length; i++) {
        const odds = Math.max(Math.exp(-Math.abs(eta[i])), SMALLEST);
        const likelier = 1 / (1 + odds);
        mean[i] = eta[i] > 0 ? likelier : odds * likelier;
        complement[i] = eta[i] > 0 ? odds * likelier : likelier;
        slope[i] = odds * likelier * likelier;
      }
    },
  },
  cloglog: {
    predictor: (mean) => Math.log(-Math.log1p(-mean)),
    mean: (eta) => -Math.expm1(-Math.exp(eta)),
    fill(eta, { mean, complement, slope }) {
      for (let i = 0; i < eta.length; i++) {
        const hazard = Math.max(Math.exp(eta[i]), SMALLEST);
        mean[i] = -Math.expm1(-hazard);
        complement[i] = Math.max(Math.exp(-hazard), SMALLEST);
        slope[i] = hazard * complement[i];
      }
    },
  },
};

/** How the variance, the deviance and the likelihood of one outcome depend on its mean. */
export interface Dispersion {
  /** Variance of one trial, up to the dispersion: V(μ). */
  readonly variance: (mean: number, complement: number) => number;
  /** Whether a mean lies inside the parameter space. */
  readonly allows: (mean: number, complement: number) => boolean;
  /** Deviance of `outcome` in `trials` trials, or, for counts, in `trials` units of exposure. */
  readonly deviance: (outcome: number, trials: number, mean: number, complement: number) => number;
  /** Log-likelihood without its constant in the data; gaussian is not written here, its scale is profiled. */
  readonly kernel: (outcome: number, trials: number, mean: number, complement: number) => number;
}

export const dispersions: Readonly<Record<Distribution, Dispersion>> = {
  gaussian: {
    variance: () => 1,
    allows: (mean) => Number.isFinite(mean),
    deviance: (outcome, _trials, mean) => (outcome - mean) ** 2,
    kernel: (outcome, _trials, mean) => -((outcome - mean) ** 2) / 2,
  },
  binomial: {
    variance: (mean, complement) => mean * complement,
    allows: (mean, complement) => mean > 0 && complement > 0,
    deviance: (outcome, trials, mean, complement) =>
      2 *
      (xLogRatio(outcome, outcome, trials * mean) +
        xLogRatio(trials - outcome, trials - outcome, trials * complement)),
    kernel: (outcome, trials, mean, complement) =>
      xLogRatio(outcome, mean, 1) + xLogRatio(trials - outcome, complement, 1),
  },
  poisson: {
    variance: (mean) => mean,
    allows: (mean) => mean > 0 && Number.isFinite(mean),
    deviance: (outcome, trials, mean) =>
      2 * (xLogRatio(outcome, outcome, trials * mean) - (outcome - trials * mean)),
    kernel: (outcome, trials, mean) => xLogRatio(outcome, mean, 1) - trials * mean,
  },
};

/** x·log(a/b) with the limit 0 at x = 0. */
function xLogRatio(x: number, a: number, b: number): number {
  return x === 0 ? 0 : x * Math.log(a / b);
}
