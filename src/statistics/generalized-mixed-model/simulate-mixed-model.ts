import { links } from "../generalized-linear/family.ts";
import { logLikelihoodConstant } from "../generalized-linear/linear-model-input.ts";
import type { Random } from "../random.ts";
import type { MixedModel } from "./model-input.ts";
import { fixedPart } from "./parse-mixed-model.ts";
import { termFactor, thetaStarts } from "./term-factor.ts";

/**
 * The model with outcomes drawn anew: random effects from their normal distribution at θ, then each row's total from
 * its binomial or poisson distribution. A parametric bootstrap fits what comes back.
 */
export function simulateMixedModel(
  model: MixedModel,
  parameters: { readonly coefficients: ArrayLike<number>; readonly theta: ArrayLike<number> },
  random: Random,
): MixedModel {
  const { rows, design, offset, size, terms, family } = model;
  const p = model.fixedNames.length;
  const eta = Float64Array.from(offset);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < p; j++) eta[i] += design[i * p + j] * parameters.coefficients[j];
  }
  const starts = thetaStarts(model);
  terms.forEach((term, t) => {
    const theta = Array.from(
      { length: starts[t + 1] - starts[t] },
      (_, k) => parameters.theta[starts[t] + k],
    );
    const effects = drawEffects(term.levels, term.effectCount, termFactor(term, theta), random);
    const { membership, effectValues, effectCount: q } = term;
    const single = membership instanceof Int32Array;
    for (let i = 0; i < rows; i++) {
      const from = single ? i : membership.rowStart[i];
      const to = single ? i + 1 : membership.rowStart[i + 1];
      for (let e = from; e < to; e++) {
        const level = single ? membership[e] : membership.level[e];
        const weight = single ? 1 : membership.weight[e];
        for (let a = 0; a < q; a++)
          eta[i] += weight * effects[level * q + a] * (effectValues?.[i * q + a] ?? 1);
      }
    }
  });
  const mean = links[family.link].mean;
  const total = eta.map((e, i) =>
    family.distribution === "binomial"
      ? random.binomial(size[i], mean(e))
      : random.poisson(size[i] * mean(e)),
  );
  const drawn = { ...model, total };
  return { ...drawn, logConstant: logLikelihoodConstant(fixedPart(drawn)) };
}

function drawEffects(levels: number, q: number, factor: Float64Array, random: Random): Float64Array {
  const effects = new Float64Array(levels * q);
  const standard = new Float64Array(q);
  for (let level = 0; level < levels; level++) {
    for (let a = 0; a < q; a++) {
      standard[a] = random.normal();
      for (let b = 0; b <= a; b++) effects[level * q + a] += factor[a * q + b] * standard[b];
    }
  }
  return effects;
}
