import { describe, expect, it } from "vitest";
import { matrixFromRows } from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import type { FittedLinearMixed } from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import { testContrast, testJointly } from "../../../src/statistics/linear-mixed-model/fixed-effect-tests.ts";
import { type KenwardRoger, kenwardRoger } from "../../../src/statistics/linear-mixed-model/kenward-roger.ts";
import {
  type Satterthwaite,
  satterthwaite,
} from "../../../src/statistics/linear-mixed-model/satterthwaite.ts";
import growth from "../../reference/linear-mixed-growth.json";
import models from "../../reference/linear-mixed-models.json";
import { expectClose, fitted } from "./fitted.ts";
import { growthModel, referenceModel } from "./reference-models.ts";

interface TableRow {
  readonly Estimate: number;
  readonly "Std. Error": number;
  readonly df: number;
  readonly "t value": number;
  readonly "Pr(>|t|)": number;
}

interface JointRow {
  readonly NumDF: number;
  readonly DenDF: number;
  readonly "F value": number;
  readonly "Pr(>F)": number;
}

function bySatterthwaite(fit: FittedLinearMixed): Satterthwaite {
  const found = satterthwaite(fit);
  if (found.kind === "unavailable") throw new Error(found.reason);
  return found;
}

function byKenwardRoger(fit: FittedLinearMixed): KenwardRoger {
  const found = kenwardRoger(fit);
  if (found.kind === "unavailable") throw new Error(found.reason);
  return found;
}

const unit = (p: number, k: number): number[] => Array.from({ length: p }, (_, i) => (i === k ? 1 : 0));

function checkTable(
  fit: FittedLinearMixed,
  approximation: Satterthwaite | KenwardRoger,
  table: Record<string, TableRow>,
  dfTolerance: number,
): void {
  const p = fit.fixedEffects.length;
  Object.values(table).forEach((want, k) => {
    const found = testContrast(fit, approximation, unit(p, k));
    expectClose(found.estimate, want.Estimate, 1e-6);
    expectClose(found.standardError, want["Std. Error"], 1e-5);
    expectClose(found.df, want.df, dfTolerance);
    expectClose(found.t, want["t value"], 1e-5);
    expectClose(found.p, want["Pr(>|t|)"], 2e-3, 1e-12);
    expectClose((found.lo + found.hi) / 2, found.estimate, 1e-9);
  });
}

describe("small-sample tests of fixed effects against lmerTest and pbkrtest", () => {
  for (const { id, model, results } of models.cases) {
    const answers = results as {
      satterthwaite?: Record<string, TableRow>;
      kenward_roger?: Record<string, TableRow>;
      vcov_kenward_roger?: { row_major: number[] };
    };
    if (answers.satterthwaite !== undefined) {
      it(`${id}: Satterthwaite`, () => {
        const fit = fitted(referenceModel(id).input, model.endsWith("(ML)") ? "ML" : "REML");
        checkTable(fit, bySatterthwaite(fit), answers.satterthwaite!, 1e-3);
      });
    }
    if (answers.kenward_roger !== undefined) {
      it(`${id}: Kenward-Roger`, () => {
        const fit = fitted(referenceModel(id).input);
        const approximation = byKenwardRoger(fit);
        checkTable(fit, approximation, answers.kenward_roger!, 1e-4);
        const largest = Math.max(...answers.vcov_kenward_roger!.row_major.map(Math.abs));
        answers.vcov_kenward_roger!.row_major.forEach((want, k) => {
          expectClose(approximation.adjustedCovariance.values[k]!, want, 1e-5, 1e-6 * largest);
        });
      });
    }
  }

  // Contrasts of several coefficients: the effects of a factor of a model without interactions, and interactions.
  const joint: [string, string, number[]][] = [
    ["oats_splitplot", "nitrof", [1, 2, 3]],
    ["oats_splitplot", "Variety", [4, 5]],
    ["milk_cow_ri", "Diet", [2, 3]],
    ["milk_cow_ris", "cTime:Diet", [4, 5]],
    ["orthodont_ri_sex", "age:Sex", [3]],
  ];
  for (const [id, effect, places] of joint) {
    it(`${id}: F tests of ${effect}`, () => {
      const answers = models.cases.find((c) => c.id === id)!.results as unknown as {
        anova_III_satterthwaite: Record<string, JointRow>;
        anova_III_kenward_roger?: Record<string, JointRow>;
      };
      const fit = fitted(referenceModel(id).input);
      const rows = matrixFromRows(places.map((k) => unit(fit.fixedEffects.length, k)));
      const check = (
        approximation: Satterthwaite | KenwardRoger,
        want: JointRow,
        tolerance: number,
      ): void => {
        const found = testJointly(fit, approximation, rows);
        expect(found.numeratorDf).toBe(want.NumDF);
        expectClose(found.denominatorDf, want.DenDF, tolerance);
        expectClose(found.f, want["F value"], 1e-5);
        expectClose(found.p, want["Pr(>F)"], 2e-3, 1e-12);
      };
      check(bySatterthwaite(fit), answers.anova_III_satterthwaite[effect]!, 1e-3);
      const kenward = answers.anova_III_kenward_roger?.[effect];
      if (kenward !== undefined) check(byKenwardRoger(fit), kenward, 1e-4);
    });
  }

  for (const method of ["REML", "ML"] as const) {
    it(`growth model: Satterthwaite (${method})`, () => {
      const want = method === "REML" ? growth.reml : growth.ml;
      const fit = fitted(growthModel().input, method);
      const approximation = bySatterthwaite(fit);
      want.satterthwaite_df.forEach((df, k) => {
        const found = testContrast(fit, approximation, unit(3, k));
        expectClose(found.df, df, 1e-3);
        expectClose(found.p, want.p[k]!, 2e-3, 0);
      });
    });
  }

  it("a balanced split plot has the classical degrees of freedom: 10 for plots, 51 within", () => {
    // Oats, Yates 1935: 6 blocks × 3 varieties, (6 − 1)(3 − 1) = 10; 72 − 1 − 5 − 2 − 10 − 3 = 51.
    const fit = fitted(referenceModel("oats_splitplot").input);
    const varieties = matrixFromRows([unit(6, 4), unit(6, 5)]);
    const nitrogen = matrixFromRows([unit(6, 1), unit(6, 2), unit(6, 3)]);
    expect(testJointly(fit, byKenwardRoger(fit), varieties).denominatorDf).toBeCloseTo(10, 5);
    expect(testJointly(fit, byKenwardRoger(fit), nitrogen).denominatorDf).toBeCloseTo(51, 5);
    expect(testJointly(fit, bySatterthwaite(fit), varieties).denominatorDf).toBeCloseTo(10, 3);
  });
});
