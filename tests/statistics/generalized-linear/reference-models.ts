import type { GeneralizedLinearInput } from "../../../src/statistics/generalized-linear/linear-model-input.ts";
import { indicators, ones, type ReferenceMatrix, readReference } from "./reference-data.ts";

/** What the reference file holds of a case; each case has the parts that its model has. */
export interface LinearModelResults {
  readonly coef: Readonly<Record<string, number>>;
  readonly se: readonly number[];
  readonly vcov: ReferenceMatrix;
  readonly deviance: number;
  readonly dispersion: number;
  readonly pearson_chisq: number;
  readonly logLik: number;
  readonly df_residual: number;
  readonly fitted_first: readonly number[];
  readonly leverage_first: readonly number[];
  readonly robust_se: Readonly<Record<string, readonly number[]>>;
  readonly cluster_se: Readonly<Record<string, readonly number[]>>;
  readonly cluster_se_CR2: readonly number[];
  readonly cr2_satterthwaite_df: readonly number[];
  readonly sigma: number;
  readonly cluster_se_HC1: readonly number[];
  readonly CR2_se: readonly number[];
  readonly CR2_df: readonly number[];
  readonly naive_se: Readonly<Record<string, number>> | readonly number[];
  readonly robust_vcov: ReferenceMatrix;
  readonly alpha: readonly number[] | number;
  readonly scale: number;
  readonly rho: number;
  readonly logit_rho_se: number;
}

export const reference = readReference<LinearModelResults>("generalized-linear-models.json");

const { bacteria, ohio, respiratory, epil, sleepstudy, cbpp } = Object.fromEntries(
  Object.entries(reference.data).map(([name, set]) => [name, set.columns]),
);

export interface ClusteredInput {
  readonly input: GeneralizedLinearInput;
  readonly cluster: readonly number[];
}

/** Presence of bacteria by treatment (placebo, drug, drug+) and late visit; cluster: child. */
export function bacteriaModel(link: "logit" | "cloglog" = "logit"): ClusteredInput {
  return {
    input: {
      family: { distribution: "binomial", link },
      names: ["(Intercept)", "trtdrug", "trtdrug+", "late"],
      columns: [ones(220), ...indicators(bacteria.trt, 3), Float64Array.from(bacteria.late)],
      outcome: Float64Array.from(bacteria.y01),
    },
    cluster: bacteria.idn,
  };
}

/** Serological cases per herd and period; cluster: herd. */
export function cbppModel(): ClusteredInput {
  return {
    input: {
      family: { distribution: "binomial", link: "logit" },
      names: ["(Intercept)", "period2", "period3", "period4"],
      columns: [ones(56), ...indicators(cbpp.period, 4)],
      outcome: Float64Array.from(cbpp.incidence),
      trials: Float64Array.from(cbpp.size),
    },
    cluster: cbpp.herd,
  };
}

/** Seizure counts; cluster: patient. */
export function epilepsyModel(): ClusteredInput {
  return {
    input: {
      family: { distribution: "poisson", link: "log" },
      names: ["(Intercept)", "trtprogabide", "log(base)", "age", "V4"],
      columns: [
        ones(236),
        ...indicators(epil.trt, 2),
        Float64Array.from(epil.base, Math.log),
        Float64Array.from(epil.age),
        Float64Array.from(epil.V4),
      ],
      outcome: Float64Array.from(epil.y),
    },
    cluster: epil.subject,
  };
}

/** Reaction time by days of short sleep; cluster: person. */
export function sleepModel(): ClusteredInput {
  return {
    input: {
      family: { distribution: "gaussian", link: "identity" },
      names: ["(Intercept)", "Days"],
      columns: [ones(180), Float64Array.from(sleepstudy.Days)],
      outcome: Float64Array.from(sleepstudy.Reaction),
    },
    cluster: sleepstudy.sid,
  };
}

/** Wheeze by age and mother's smoking; cluster: child. */
export function ohioModel(): ClusteredInput {
  const age = Float64Array.from(ohio.age);
  const smoke = Float64Array.from(ohio.smoke);
  return {
    input: {
      family: { distribution: "binomial", link: "logit" },
      names: ["(Intercept)", "age", "smoke", "age:smoke"],
      columns: [ones(2148), age, smoke, age.map((a, i) => a * smoke[i])],
      outcome: Float64Array.from(ohio.resp),
    },
    cluster: ohio.id,
  };
}

/** Respiratory status in a two-centre trial; cluster: patient. */
export function respiratoryModel(): ClusteredInput {
  return {
    input: {
      family: { distribution: "binomial", link: "logit" },
      names: ["(Intercept)", "center", "treatP", "sexM", "age", "baseline"],
      columns: [
        ones(444),
        Float64Array.from(respiratory.center),
        ...indicators(respiratory.treat, 2),
        ...indicators(respiratory.sex, 2),
        Float64Array.from(respiratory.age),
        Float64Array.from(respiratory.baseline),
      ],
      outcome: Float64Array.from(respiratory.outcome),
    },
    cluster: respiratory.cid,
  };
}
