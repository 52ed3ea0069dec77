import type { Unfit } from "../verdict.ts";
import { dependentColumn } from "./animal-model.ts";
import {
  designTrouble,
  everyValue,
  type GeneticDesign,
  type GeneticFrame,
  geneticFrame,
  geneticVarianceMap,
  unfit,
} from "./genetic-frame.ts";
import { type LogisticData, logisticData } from "./logistic-laplace.ts";
import type { VarianceMap } from "./variance-map.ts";

/**
 * logit P = offset + X b + Z (Q g + a) + sum of other terms, with a ~ N(0, A va) on the liability and
 * g ~ N(0, I vg). There is one genetic term and no separate permanent effect.
 */
export interface LogisticAnimalModelInput extends GeneticDesign {
  readonly successes: ArrayLike<number>;
  /** 1 a record where missing. */
  readonly trials?: ArrayLike<number>;
  readonly offset?: ArrayLike<number>;
}

/** Ready to fit; its variances stand in the order of `names`: animal, group (where there are groups), others. */
export interface LogisticAnimalModel extends GeneticFrame {
  readonly names: readonly string[];
  readonly data: LogisticData;
  readonly map: VarianceMap;
}

/** Variance of the logistic distribution: the residual variance of the liability. */
export const LOGISTIC_VARIANCE = Math.PI ** 2 / 3;

/** Checks the input, builds the equations and their symbolic factor. */
export function logisticAnimalModel(input: LogisticAnimalModelInput): LogisticAnimalModel | Unfit {
  const records = input.successes.length;
  const trouble = designTrouble(input, records) ?? countTrouble(input);
  if (trouble !== undefined) return trouble;
  const frame = geneticFrame(input);
  const trials = Float64Array.from({ length: records }, (_, r) => input.trials?.[r] ?? 1);
  const dependent = dependentColumn(frame.equations, frame.equations.product.values(trials));
  if (dependent !== undefined) {
    return unfit("rank_deficient", `fixed column ${dependent} depends on those before it`);
  }
  const offset = Float64Array.from({ length: records }, (_, r) => input.offset?.[r] ?? 0);
  return {
    ...frame,
    names: frame.equations.terms.map((t) => t.name),
    data: logisticData(frame.equations, Float64Array.from(input.successes), trials, offset),
    map: geneticVarianceMap(frame, frame.equations.terms.length),
  };
}

function countTrouble({ successes, trials, offset }: LogisticAnimalModelInput): Unfit | undefined {
  const records = successes.length;
  let events = 0;
  let total = 0;
  for (let r = 0; r < records; r++) {
    const n = trials?.[r] ?? 1;
    if (!(n > 0 && successes[r] >= 0 && successes[r] <= n)) {
      return unfit("invalid_input", `record ${r}: ${successes[r]} of ${n}`);
    }
    events += successes[r];
    total += n;
  }
  if (offset !== undefined && !everyValue(offset, Number.isFinite)) {
    return unfit("invalid_input", "offset holds a value that is not finite");
  }
  if (events === 0) return unfit("no_events", `none of ${total}`);
  if (events === total) return unfit("constant_outcome", `all of ${total}`);
  return undefined;
}
