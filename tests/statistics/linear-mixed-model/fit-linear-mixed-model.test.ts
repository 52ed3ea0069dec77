import { describe, expect, it } from "vitest";
import type { FittedLinearMixed } from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import { predictedEffects } from "../../../src/statistics/linear-mixed-model/predicted-effects.ts";
import growth from "../../reference/linear-mixed-growth.json";
import membership from "../../reference/linear-mixed-membership.json";
import models from "../../reference/linear-mixed-models.json";
import { expectClose, fitted } from "./fitted.ts";
import { growthModel, membershipModel, type ReferenceModel, referenceModel } from "./reference-models.ts";

interface VarianceComponent {
  readonly group: string;
  readonly term1?: string;
  readonly term2?: string;
  readonly vcov: number;
}

/** Variance components in the reference's own form and order of names, from the fit. */
function components(
  fit: FittedLinearMixed,
  model: ReferenceModel,
  wanted: readonly VarianceComponent[],
): number[] {
  return wanted.map(({ group, term1, term2 }) => {
    if (group === "Residual") return fit.sigmaSquared;
    const t = model.groups.findIndex((g) => g.group === group.replace(/\.\d$/, ""));
    const { covariance } = fit.terms[t]!;
    const place = (name: string | undefined): number =>
      name === undefined || name === "(Intercept)" ? 0 : 1;
    return covariance.values[place(term1) * covariance.columns + place(term2 ?? term1)]!;
  });
}

describe("linear mixed models against general-purpose packages", () => {
  for (const { id, model, results } of models.cases) {
    it(`${id}: ${model}`, () => {
      const reference = referenceModel(id);
      const fit = fitted(reference.input, model.endsWith("(ML)") ? "ML" : "REML");
      expect(fit.verdict).toBe(results.singular ? "singular" : "converged");
      expectClose(fit.logLikelihood, results.logLik, 0, 1e-6);
      Object.values(results.fixef).forEach((want, k) => {
        expectClose(fit.fixedEffects[k]!, want as number, 1e-6);
      });
      results.vcov.row_major.forEach((want, k) => {
        expectClose(fit.fixedCovariance.values[k]!, want, 1e-5, 1e-5 * Math.abs(results.vcov.row_major[0]!));
      });
      const found = components(fit, reference, results.varcomp as VarianceComponent[]);
      (results.varcomp as VarianceComponent[]).forEach(({ vcov }, k) => {
        expectClose(found[k]!, vcov, 1e-5, 1e-5 * fit.sigmaSquared);
      });
      expectClose(2 * fit.parameters - 2 * fit.logLikelihood, results.AIC, 0, 2e-6);
      expect(fit.search.evaluations).toBeLessThan(40);
    });

    it(`${id}: predicted effects and their variances`, () => {
      const reference = referenceModel(id);
      const fit = fitted(reference.input, model.endsWith("(ML)") ? "ML" : "REML");
      const found = predictedEffects(fit);
      const byGroup = Object.entries(results.ranef as Record<string, RandomEffectsReference>);
      let before = 0;
      for (const [group, want] of byGroup) {
        const t = reference.groups.findIndex((g) => g.group === group);
        const { values, effects, conditionalVariances, predictionVariances } = found[t]!;
        expect(effects).toBe(want.value.ncol);
        want.levels.forEach((name, row) => {
          const level = reference.groups[t]!.levels.indexOf(name);
          for (let e = 0; e < effects; e++) {
            const at = row * effects + e;
            const ours = level * effects + e;
            expectClose(values[ours]!, want.value.row_major[at]!, 1e-5);
            expectClose(Math.sqrt(conditionalVariances[ours]!), want.cond_sd.row_major[at]!, 1e-5);
            if (!id.endsWith("uncorr"))
              expectClose(predictionVariances[ours]!, results.pev[before + at]!, 1e-5);
          }
        });
        before += want.value.row_major.length;
      }
    });

    const ml = (results as { ml?: MaximumLikelihoodReference }).ml;
    if (ml !== undefined) {
      it(`${id}: maximum likelihood`, () => {
        const reference = referenceModel(id);
        const fit = fitted(reference.input, "ML");
        expectClose(fit.logLikelihood, ml.logLik, 0, 1e-6);
        Object.values(ml.fixef).forEach((want, k) => {
          expectClose(fit.fixedEffects[k]!, want, 1e-6);
        });
        Object.values(ml.se).forEach((want, k) => {
          expectClose(
            Math.sqrt(fit.fixedCovariance.values[k * (fit.fixedCovariance.columns + 1)]!),
            want,
            1e-5,
          );
        });
        const found = components(fit, reference, ml.varcomp);
        ml.varcomp.forEach(({ vcov }, k) => {
          expectClose(found[k]!, vcov, 1e-5, 1e-5 * fit.sigmaSquared);
        });
      });
    }
  }

  for (const [method, want] of [
    ["REML", growth.reml],
    ["ML", growth.ml],
  ] as const) {
    it(`growth over intervals, slope-only terms nested and crossed (${method})`, () => {
      const reference = growthModel();
      const fit = fitted(reference.input, method);
      expectClose(fit.logLikelihood, want.logLik, 0, 1e-6);
      Object.values(want.beta).forEach((beta, k) => {
        expectClose(fit.fixedEffects[k]!, beta, 1e-5, 0);
        expectClose(Math.sqrt(fit.fixedCovariance.values[k * 4]!), want.se[k]!, 1e-5, 0);
      });
      for (const { group, variance_or_cov } of want.varcomp) {
        const t = reference.groups.findIndex((g) => g.group === group);
        const found = t === -1 ? fit.sigmaSquared : fit.terms[t]!.covariance.values[0]!;
        expectClose(found, variance_or_cov, 1e-5, 0);
      }
      const effects = predictedEffects(fit);
      for (const { group, levels, values, cond_var_first } of want.ranef) {
        const t = reference.groups.findIndex((g) => g.group === group);
        levels.forEach((name, row) => {
          const level = reference.groups[t]!.levels.indexOf(name);
          expectClose(effects[t]!.values[level]!, values[row]![0]!, 1e-5);
          if (row < cond_var_first.length) {
            expectClose(effects[t]!.conditionalVariances[level]!, cond_var_first[row]!, 1e-5);
          }
        });
      }
    });
  }

  it("multiple membership: an interval that loads on several pens and pen-months", () => {
    const fit = fitted(membershipModel().input);
    const { reml } = membership;
    expect(fit.verdict).toBe("singular");
    expectClose(fit.logLikelihood, reml.logLik, 0, 1e-6);
    reml.beta.forEach((beta, k) => {
      expectClose(fit.fixedEffects[k]!, beta, 1e-5, 0);
      expectClose(Math.sqrt(fit.fixedCovariance.values[k * 4]!), reml.se[k]!, 1e-5, 0);
    });
    fit.terms.forEach(({ name, covariance, singular }) => {
      const want = reml.sd[name as keyof typeof reml.sd];
      expectClose(Math.sqrt(covariance.values[0]!), want, 1e-4);
      expect(singular).toBe(want === 0);
    });
    expectClose(Math.sqrt(fit.sigmaSquared), reml.sd.Residual, 1e-5);
    const [animal] = predictedEffects(fit);
    reml.animal.forEach((want, level) => {
      expectClose(animal!.values[level]!, want, 1e-4);
      expectClose(animal!.conditionalVariances[level]!, reml.animal_cond_var[level]!, 1e-4);
    });
  });
});

interface RandomEffectsReference {
  readonly levels: readonly string[];
  readonly value: { readonly ncol: number; readonly row_major: readonly number[] };
  readonly cond_sd: { readonly row_major: readonly number[] };
}

interface MaximumLikelihoodReference {
  readonly fixef: Record<string, number>;
  readonly se: Record<string, number>;
  readonly varcomp: readonly VarianceComponent[];
  readonly logLik: number;
}
