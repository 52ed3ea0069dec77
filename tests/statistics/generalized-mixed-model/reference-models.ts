import type { GeneralizedMixedInput } from "../../../src/statistics/generalized-mixed-model/model-input.ts";
import {
  indicators,
  ones,
  type ReferenceMatrix,
  readReference,
} from "../generalized-linear/reference-data.ts";

/** What the reference file holds of a case; each case has the parts that its model has. */
export interface MixedModelResults {
  readonly fixef: Readonly<Record<string, number>>;
  readonly se: Readonly<Record<string, number>>;
  readonly vcov_joint_hessian: ReferenceMatrix;
  readonly theta: Readonly<Record<string, number>>;
  readonly logLik: number;
  readonly ranef: Readonly<
    Record<string, { readonly value: readonly number[]; readonly cond_sd: readonly number[] }>
  >;
  readonly fitted_first: readonly number[];
  readonly fitted_population_first: readonly number[];
  readonly exact_marginal: {
    readonly loglik_at_these_estimates: number;
    readonly exact_ml: {
      readonly fixef: Readonly<Record<string, number>>;
      readonly sigma: number;
      readonly logLik: number;
      readonly se: Readonly<Record<string, number>>;
    };
  };
  readonly crosscheck_glmmTMB: {
    readonly logLik: number;
    readonly fixef: Readonly<Record<string, number>>;
    readonly se: Readonly<Record<string, number>>;
  };
}

export const reference = readReference<MixedModelResults>("generalized-mixed-models.json");

const { cbpp, bacteria, Contraception, VerbAgg100, grouseticks } = Object.fromEntries(
  Object.entries(reference.data).map(([name, set]) => [name, set.columns]),
);

function levelsOf(codes: readonly number[]): number {
  return Math.max(...codes) + 1;
}

function intercept(name: string, codes: readonly number[]) {
  return { name, levels: levelsOf(codes), membership: Int32Array.from(codes) };
}

/** Serological cases of 15 herds in four periods. */
export function cbppModel(link: "logit" | "cloglog" = "logit"): GeneralizedMixedInput {
  return {
    family: { distribution: "binomial", link },
    outcome: Float64Array.from(cbpp.incidence),
    trials: Float64Array.from(cbpp.size),
    fixed: {
      names: ["(Intercept)", "period2", "period3", "period4"],
      columns: [ones(56), ...indicators(cbpp.period, 4)],
    },
    random: [intercept("herd", cbpp.herd)],
  };
}

/** Presence of bacteria in 50 children by treatment and late visit. */
export function bacteriaModel(): GeneralizedMixedInput {
  return {
    family: { distribution: "binomial", link: "logit" },
    outcome: Float64Array.from(bacteria.y01),
    fixed: {
      names: ["(Intercept)", "trtdrug", "trtdrug+", "late"],
      columns: [ones(220), ...indicators(bacteria.trt, 3), Float64Array.from(bacteria.late)],
    },
    random: [intercept("ID", bacteria.ID)],
  };
}

/** Use of contraception in 60 districts; with `urbanSlope` the effect of living in a town differs by district. */
export function contraceptionModel(urbanSlope = false): GeneralizedMixedInput {
  const age = Float64Array.from(Contraception.age10);
  const urban = Float64Array.from(Contraception.urban);
  return {
    family: { distribution: "binomial", link: "logit" },
    outcome: Float64Array.from(Contraception.use01),
    fixed: {
      names: ["(Intercept)", "age10", "I(age10^2)", "urbanY", "livch1", "livch2", "livch3+"],
      columns: [ones(1934), age, age.map((a) => a * a), urban, ...indicators(Contraception.livch, 4)],
    },
    random: [
      {
        ...intercept("district", Contraception.district),
        ...(urbanSlope ? { effects: [ones(1934), urban] } : {}),
      },
    ],
  };
}

/** Ticks on grouse chicks; with `crossed` also a term by row and one by place. */
export function grouseModel(crossed = false): GeneralizedMixedInput {
  return {
    family: { distribution: "poisson", link: "log" },
    outcome: Float64Array.from(grouseticks.TICKS),
    fixed: {
      names: ["(Intercept)", "YEAR96", "YEAR97", "cH"],
      columns: [ones(403), ...indicators(grouseticks.YEAR, 3), Float64Array.from(grouseticks.cH)],
    },
    random: crossed
      ? [
          intercept("INDEX", grouseticks.INDEX),
          intercept("BROOD", grouseticks.BROOD),
          intercept("LOCATION", grouseticks.LOCATION),
        ]
      : [intercept("BROOD", grouseticks.BROOD)],
  };
}

/** Answers of 100 persons to 24 items, persons and items crossed. */
export function verbalModel(): GeneralizedMixedInput {
  return {
    family: { distribution: "binomial", link: "logit" },
    outcome: Float64Array.from(VerbAgg100.r01),
    fixed: {
      names: ["(Intercept)", "btypescold", "btypeshout", "situself", "modedo", "GenderM"],
      columns: [
        ones(2400),
        ...indicators(VerbAgg100.btype, 3),
        ...indicators(VerbAgg100.situ, 2),
        ...indicators(VerbAgg100.mode, 2),
        ...indicators(VerbAgg100.Gender, 2),
      ],
    },
    random: [intercept("id", VerbAgg100.id), intercept("item", VerbAgg100.item)],
  };
}
