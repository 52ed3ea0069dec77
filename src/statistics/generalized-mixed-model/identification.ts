import { unfit } from "../generalized-linear/linear-model-input.ts";
import type { Unfit } from "../verdict.ts";
import type { MixedModel } from "./model-input.ts";

/**
 * A random intercept with one binary trial a level cannot be told from the link's own spread; the only one, if its
 * levels are all or nothing, has a standard deviation without bound.
 */
export function withoutReplication(model: MixedModel): Unfit | null {
  if (model.family.distribution !== "binomial") return null;
  for (const { membership, effectValues, levels, name } of model.terms) {
    if (effectValues !== null || !(membership instanceof Int32Array)) continue;
    const trials = new Float64Array(levels);
    const events = new Float64Array(levels);
    for (let i = 0; i < model.rows; i++) {
      trials[membership[i]] += model.size[i];
      events[membership[i]] += model.total[i];
    }
    if (trials.every((n) => n <= 1)) return unfit("not_identified", `${name}: one trial a level`, "flat");
    if (model.terms.length === 1 && events.every((y, l) => y === 0 || y === trials[l])) {
      return unfit("not_identified", `${name}: every level is all events or none`, "flat");
    }
  }
  return null;
}
