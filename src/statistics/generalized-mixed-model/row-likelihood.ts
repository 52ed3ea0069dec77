/** Families of a mixed model; each log-likelihood is concave in the linear predictor. */
export type MixedFamily =
  | { readonly distribution: "binomial"; readonly link: "logit" | "cloglog" }
  | { readonly distribution: "poisson"; readonly link: "log" };

/** Derivatives of the rows' log-likelihoods with respect to their linear predictors, filled in place. */
export interface RowDerivatives {
  /** ∂ℓ/∂η. */
  readonly score: Float64Array;
  /** −∂²ℓ/∂η², the observed information. */
  readonly weight: Float64Array;
  /** ∂weight/∂η. */
  readonly weightSlope: Float64Array;
  /** ∂²weight/∂η². */
  readonly weightCurvature: Float64Array;
}

/**
 * One family's rows. A row is `total` (successes or counts) out of `size` (trials, or the number of counts that
 * were added up); its log-likelihood leaves out what does not depend on η. All methods work on `count` rows whose
 * totals and sizes start at `first` and whose linear predictors and derivatives start at `at`.
 */
export interface RowLikelihood {
  readonly logLikelihood: (
    eta: Float64Array,
    at: number,
    total: Float64Array,
    size: Float64Array,
    first: number,
    count: number,
  ) => number;
  /** Fills score and weight. */
  readonly scoreAndWeight: FillRows;
  /** Fills all four derivatives. */
  readonly allDerivatives: FillRows;
}

type FillRows = (
  eta: Float64Array,
  at: number,
  total: Float64Array,
  size: Float64Array,
  first: number,
  count: number,
  into: RowDerivatives,
) => void;

export function rowLikelihoodOf(family: MixedFamily): RowLikelihood {
  if (family.distribution === "poisson") return poissonLog;
  return family.link === "logit" ? binomialLogit : binomialCloglog;
}

const binomialLogit: RowLikelihood = {
  logLikelihood(eta, at, total, size, first, count) {
    let sum = 0;
    for (let k = 0; k < count; k++) {
      const e = eta[at + k];
      const log1pExp = Math.max(e, 0) + Math.log1p(Math.exp(-Math.abs(e)));
      sum += total[first + k] * e - size[first + k] * log1pExp;
    }
    return sum;
  },
  scoreAndWeight(eta, at, total, size, first, count, into) {
    const { score, weight } = into;
    for (let k = 0; k < count; k++) {
      const odds = Math.exp(-eta[at + k]);
      const mean = 1 / (1 + odds);
      const expected = size[first + k] * mean;
      score[at + k] = total[first + k] - expected;
      weight[at + k] = odds < Number.MAX_VALUE ? expected * odds * mean : 0;
    }
  },
  allDerivatives(eta, at, total, size, first, count, into) {
    const { score, weight, weightSlope, weightCurvature } = into;
    for (let k = 0; k < count; k++) {
      const odds = Math.exp(-eta[at + k]);
      const mean = 1 / (1 + odds);
      const complement = odds < Number.MAX_VALUE ? odds * mean : 1;
      const expected = size[first + k] * mean;
      const w = expected * complement;
      score[at + k] = total[first + k] - expected;
      weight[at + k] = w;
      weightSlope[at + k] = w * (complement - mean);
      weightCurvature[at + k] = w * (1 - 6 * mean * complement);
    }
  },
};

// With e = exp(η) and a = e/(exp(e) − 1), a success has score a and a failure −e; da/dη = a·r, r = 1 − a − e.
const binomialCloglog: RowLikelihood = {
  logLikelihood(eta, at, total, size, first, count) {
    let sum = 0;
    for (let k = 0; k < count; k++) {
      const e = Math.exp(eta[at + k]);
      const successes = total[first + k];
      const failures = size[first + k] - successes;
      if (successes > 0) sum += successes * (e < 1e-8 ? eta[at + k] - e / 2 : Math.log(-Math.expm1(-e)));
      if (failures > 0) sum -= failures * e;
    }
    return sum;
  },
  scoreAndWeight(eta, at, total, size, first, count, into) {
    const { score, weight } = into;
    for (let k = 0; k < count; k++) {
      const e = Math.exp(eta[at + k]);
      const successes = total[first + k];
      const failures = size[first + k] - successes;
      const a = successScore(e);
      score[at + k] = successes * a - failures * e;
      weight[at + k] = failures * e - successes * a * successRate(e, a);
    }
  },
  allDerivatives(eta, at, total, size, first, count, into) {
    const { score, weight, weightSlope, weightCurvature } = into;
    for (let k = 0; k < count; k++) {
      const e = Math.exp(eta[at + k]);
      const successes = total[first + k];
      const failures = size[first + k] - successes;
      const a = successScore(e);
      const r = successRate(e, a);
      const r1 = -a * r - e;
      const a2 = a * (r * r + r1);
      const r2 = -a2 - e;
      score[at + k] = successes * a - failures * e;
      weight[at + k] = failures * e - successes * a * r;
      weightSlope[at + k] = failures * e - successes * a2;
      weightCurvature[at + k] = failures * e - successes * a * (r * r * r + 3 * r * r1 + r2);
    }
  },
};

function successScore(e: number): number {
  return e < 1e-8 ? 1 - e / 2 : e > 700 ? 0 : e / Math.expm1(e);
}

/** 1 − a − e; a series near zero, where the difference would lose its digits. */
function successRate(e: number, a: number): number {
  return e < 0.02 ? e * (-1 / 2 - e * (1 / 12 - (e * e) / 720)) : 1 - a - e;
}

const poissonLog: RowLikelihood = {
  logLikelihood(eta, at, total, size, first, count) {
    let sum = 0;
    for (let k = 0; k < count; k++) {
      sum += total[first + k] * eta[at + k] - size[first + k] * Math.exp(eta[at + k]);
    }
    return sum;
  },
  scoreAndWeight(eta, at, total, size, first, count, into) {
    const { score, weight } = into;
    for (let k = 0; k < count; k++) {
      const mean = size[first + k] * Math.exp(eta[at + k]);
      score[at + k] = total[first + k] - mean;
      weight[at + k] = mean;
    }
  },
  allDerivatives(eta, at, total, size, first, count, into) {
    const { score, weight, weightSlope, weightCurvature } = into;
    for (let k = 0; k < count; k++) {
      const mean = size[first + k] * Math.exp(eta[at + k]);
      score[at + k] = total[first + k] - mean;
      weight[at + k] = mean;
      weightSlope[at + k] = mean;
      weightCurvature[at + k] = mean;
    }
  },
};
