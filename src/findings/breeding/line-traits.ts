import { type CautionCode, code } from "../../records/codes.ts";
import { type AnimalModelInput, animalModel } from "../../statistics/pedigree/animal-model.ts";
import { averageOverVariances } from "../../statistics/pedigree/average-over-variances.ts";
import { breedingValues } from "../../statistics/pedigree/breeding-values.ts";
import { fitAnimalModel } from "../../statistics/pedigree/fit-animal-model.ts";
import { fitLogisticAnimalModel } from "../../statistics/pedigree/fit-logistic-animal-model.ts";
import { liabilityBootstrap } from "../../statistics/pedigree/liability-bootstrap.ts";
import {
  averageOverLiabilityVariances,
  liabilityValues,
} from "../../statistics/pedigree/liability-values.ts";
import { additiveVarianceShows, unbiasedVariances } from "../../statistics/pedigree/liability-variance.ts";
import {
  LOGISTIC_VARIANCE,
  type LogisticAnimalModelInput,
  logisticAnimalModel,
} from "../../statistics/pedigree/logistic-animal-model.ts";
import type { Job } from "../crew.ts";
import type { VarianceRow } from "../variance.ts";
import type { BreedingValueRow, LineRow } from "./breeding-tables.ts";
import { geneticVariances } from "./genetic-variances.ts";
import type { HerdPedigree } from "./herd-pedigree.ts";
import { lineRows, silentLines, type Trait, valueRows } from "./line-rows.ts";

/** A flock's records of a trait, laid out for its genetic model. */
interface TraitQuestion<Input> {
  readonly flock: string;
  readonly herd: HerdPedigree;
  readonly input: Input;
  /** Own records of each animal of the pedigree. */
  readonly records: Int32Array;
  /** In how many pens each line was seen. */
  readonly pens: ReadonlyMap<string, number>;
  readonly seed: number;
}

interface LamenessQuestion extends TraitQuestion<LogisticAnimalModelInput> {
  /** Why no single animal's value is told, only its line's; null: values are told. */
  readonly valuesSilent: string | null;
}

/** What the genetic model of a trait says. */
export interface TraitRows {
  readonly lines: readonly LineRow[];
  readonly values: readonly BreedingValueRow[];
  readonly variances: readonly VarianceRow[];
}

/** Growth: a Gaussian animal model, averaged over its variances. */
export const growthLinesJob: Job<TraitQuestion<AnimalModelInput>, TraitRows> = {
  name: "lines by growth",
  work(question) {
    const { flock, input, records, seed } = question;
    const model = animalModel(input);
    if ("trouble" in model) return untold(question, "growth", "not_converged");
    const fit = fitAnimalModel(model);
    if ("trouble" in fit) return untold(question, "growth", "not_converged");
    const average = averageOverVariances(model, fit.variances, { seed });
    if (average === undefined) return untold(question, "growth", "not_converged");
    const heritable = fit.variances[0]! > 0;
    return {
      ...told(question, {
        name: "growth",
        design: input,
        weights: model.gaussian.weights,
        frame: model,
        average,
        records,
        heritable,
        silent: null,
        reliabilities: (base) => breedingValues(model, fit.variances, base).reliability,
      }),
      variances: geneticVariances({
        flock,
        trait: "growth",
        names: model.names,
        variances: fit.variances,
        standardErrors: fit.variances.map((_, k) =>
          Math.sqrt(Math.max(0, fit.varianceCovariance.values[k * (model.names.length + 1)]!)),
        ),
        average,
        beside: 0,
        heritable,
      }),
    };
  },
};

/** Lameness: a logistic animal model, its variances' bias removed and their uncertainty averaged over. */
export const lamenessLinesJob: Job<LamenessQuestion, TraitRows> = {
  name: "lines by lameness",
  work(question) {
    const { input, records, seed } = question;
    const model = logisticAnimalModel(input);
    if ("trouble" in model) return untold(question, "lameness", "not_converged");
    const fit = fitLogisticAnimalModel(model);
    if ("trouble" in fit) return untold(question, "lameness", "not_converged");
    const bootstrap = liabilityBootstrap(model, fit, { seed });
    const unbiased = unbiasedVariances(fit, bootstrap);
    const average = averageOverLiabilityVariances(model, fit, unbiased, { seed });
    // reliability is printed only where the interval of the variance lies above zero
    const heritable = additiveVarianceShows(model, fit);
    return {
      ...told(question, {
        name: "lameness",
        design: input,
        weights: fit.point.weights,
        frame: model,
        average,
        records,
        heritable,
        silent: question.valuesSilent,
        reliabilities: (base) => liabilityValues(model, unbiased, base).reliability,
      }),
      variances: geneticVariances({
        flock: question.flock,
        trait: "lameness",
        names: model.names,
        variances: unbiased,
        standardErrors: null,
        average,
        beside: LOGISTIC_VARIANCE,
        heritable,
      }),
    };
  },
};

function told(
  { flock, herd, pens }: Omit<TraitQuestion<unknown>, "input">,
  trait: Trait,
): Omit<TraitRows, "variances"> {
  return { lines: lineRows(flock, trait, herd, pens), values: valueRows(flock, trait, herd) };
}

function untold(
  { flock, herd }: Omit<TraitQuestion<unknown>, "input">,
  trait: Trait["name"],
  caution: CautionCode,
): TraitRows {
  return { lines: silentLines(flock, trait, herd, code(caution)), values: [], variances: [] };
}
