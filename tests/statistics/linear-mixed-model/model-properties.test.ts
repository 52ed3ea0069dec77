import { describe, expect, it } from "vitest";
import {
  fitLinearMixedModel,
  runLinearMixedModel,
} from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import {
  type LinearMixedInput,
  linearMixedDesign,
  withOutcome,
} from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import { predictedEffects } from "../../../src/statistics/linear-mixed-model/predicted-effects.ts";
import {
  parametersOf,
  simulateOutcome,
} from "../../../src/statistics/linear-mixed-model/simulate-outcome.ts";
import { Random } from "../../../src/statistics/random.ts";
import { expectClose, fitted } from "./fitted.ts";
import { growthModel, referenceModel } from "./reference-models.ts";
import { mixedBag } from "./small-models.ts";

/** The same data with rows in another order. */
function permuteRows(input: LinearMixedInput, order: number[]): LinearMixedInput {
  const floats = (column: Float64Array): Float64Array => Float64Array.from(order, (i) => column[i]!);
  return {
    ...input,
    outcome: floats(input.outcome),
    fixed: { ...input.fixed, columns: input.fixed.columns.map(floats) },
    random: input.random.map((term) => ({
      ...term,
      membership: Int32Array.from(order, (i) => (term.membership as Int32Array)[i]!),
      ...(term.effects === undefined ? {} : { effects: term.effects.map(floats) }),
    })),
  };
}

describe("properties of a fit", () => {
  const { input } = growthModel();
  const plain = fitted(input);
  const sameEstimates = (other: LinearMixedInput): void => {
    const fit = fitted(other);
    expectClose(fit.logLikelihood, plain.logLikelihood, 0, 1e-8);
    fit.fixedEffects.forEach((value, k) => {
      expectClose(value, plain.fixedEffects[k]!, 1e-7, 0);
    });
    fit.terms.forEach(({ covariance }, t) => {
      expectClose(covariance.values[0]!, plain.terms[t]!.covariance.values[0]!, 1e-6, 0);
    });
  };

  it("does not change with the order of the rows", () => {
    const order = new Random(5).shuffle(Array.from(input.outcome.keys()));
    sameEstimates(permuteRows(input, order));
  });

  it("does not change with the names of the groups or the order of the terms", () => {
    const random = new Random(6);
    const relabelled = input.random.map((term) => {
      const names = random.shuffle(Int32Array.from({ length: term.levels }, (_, k) => k));
      return { ...term, membership: (term.membership as Int32Array).map((level) => names[level]!) };
    });
    sameEstimates({ ...input, random: relabelled });
    const turned = fitted({ ...input, random: [...input.random].reverse() });
    turned.terms.forEach(({ covariance }, t) => {
      expectClose(covariance.values[0]!, plain.terms[3 - t]!.covariance.values[0]!, 1e-6, 0);
    });
  });

  it("scales with the outcome", () => {
    const scaled = fitted({ ...input, outcome: input.outcome.map((y) => 1000 * y) });
    expectClose(scaled.sigmaSquared, 1e6 * plain.sigmaSquared, 1e-6, 0);
    scaled.fixedEffects.forEach((value, k) => {
      expectClose(value, 1000 * plain.fixedEffects[k]!, 1e-7, 0);
    });
    scaled.terms.forEach(({ covariance }, t) => {
      expectClose(covariance.values[0]!, 1e6 * plain.terms[t]!.covariance.values[0]!, 1e-6, 0);
    });
    const degrees = plain.design.rows - plain.design.fixedCount;
    expectClose(scaled.logLikelihood, plain.logLikelihood - degrees * Math.log(1000), 0, 1e-6);
  });

  it("keeps its digits where the outcome lies far from zero", () => {
    const near = fitted(referenceModel("sleepstudy_ris").input);
    const sleep = near.design.input;
    const far = fitted({ ...sleep, outcome: sleep.outcome.map((y) => y + 1e7) });
    expectClose(far.fixedEffects[0]! - 1e7, near.fixedEffects[0]!, 1e-9);
    expectClose(far.logLikelihood, near.logLikelihood, 0, 1e-6);
    far.terms[0]!.covariance.values.forEach((value, k) => {
      expectClose(value, near.terms[0]!.covariance.values[k]!, 1e-5);
    });
  });

  it("takes the unit of a slope out of its variance", () => {
    const inDays = input.random.map((term) => ({
      ...term,
      effects: term.effects!.map((c) => c.map((v) => 30 * v)),
    }));
    fitted({ ...input, random: inDays }).terms.forEach(({ covariance }, t) => {
      expectClose(900 * covariance.values[0]!, plain.terms[t]!.covariance.values[0]!, 1e-6, 0);
    });
  });

  it("reads weights as the square of a row's own scale", () => {
    const bag = mixedBag(3, 80);
    const roots = bag.weights!.map(Math.sqrt);
    const times = (column: Float64Array): Float64Array => column.map((v, i) => v * roots[i]!);
    const term = bag.random[0]!;
    const weighted = { ...bag, random: [term] };
    const multiplied: LinearMixedInput = {
      outcome: times(bag.outcome),
      offset: times(bag.offset!),
      fixed: { names: bag.fixed.names, columns: bag.fixed.columns.map(times) },
      random: [{ ...term, effects: term.effects!.map(times) }],
    };
    const a = fitted(weighted);
    const b = fitted(multiplied);
    a.fixedEffects.forEach((value, k) => {
      expectClose(value, b.fixedEffects[k]!, 1e-8);
    });
    const logs = bag.weights!.reduce((sum, w) => sum + Math.log(w), 0);
    expectClose(a.logLikelihood, b.logLikelihood + logs / 2, 0, 1e-8);
  });

  it("is the same for a new outcome on an old design as from scratch", () => {
    const design = linearMixedDesign(input);
    if ("trouble" in design) throw new Error(design.detail);
    const outcome = input.outcome.map((y, i) => y + Math.sin(i));
    const again = withOutcome(design, outcome);
    if ("trouble" in again) throw new Error(again.detail);
    const fit = runLinearMixedModel(again);
    if ("trouble" in fit) throw new Error(fit.detail);
    expect(fit.logLikelihood).toBeCloseTo(fitted({ ...input, outcome }).logLikelihood, 9);
  });

  it("recovers the parameters that it simulated from", () => {
    const truth = { fixedEffects: [4, 0.3, -0.3], sigmaSquared: 0.5, factors: [[0.6], [0.3], [0.2], [0.35]] };
    const random = new Random(99);
    const estimates = Array.from({ length: 30 }, (_, s) => {
      const { outcome } = simulateOutcome(input, truth, random.substream(s));
      return fitted({ ...input, outcome });
    });
    const within = (values: number[], want: number): void => {
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      const spread = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / (values.length - 1));
      expect(Math.abs(mean - want)).toBeLessThan((4 * spread) / Math.sqrt(values.length));
    };
    truth.fixedEffects.forEach((want, k) => {
      within(
        estimates.map((fit) => fit.fixedEffects[k]!),
        want,
      );
    });
    truth.factors.forEach(([sd], t) => {
      within(
        estimates.map((fit) => fit.terms[t]!.covariance.values[0]!),
        sd! * sd!,
      );
    });
    within(
      estimates.map((fit) => fit.sigmaSquared),
      truth.sigmaSquared,
    );
  });

  it("simulates the same from the same seed, with its own parameters", () => {
    const a = simulateOutcome(input, parametersOf(plain), new Random(1)).outcome;
    const b = simulateOutcome(input, parametersOf(plain), new Random(1)).outcome;
    expect(a).toEqual(b);
    const c = simulateOutcome(input, parametersOf(plain), new Random(2)).outcome;
    expect(a).not.toEqual(c);
  });

  it("fits a model without random terms by least squares", () => {
    // The ordinary regression slope of the sleep study: Σxy/Σx² on centred days.
    const sleep = referenceModel("sleepstudy_ri").input;
    const fit = fitted({ ...sleep, random: [] });
    const days = sleep.fixed.columns[1]!;
    const slope =
      days.reduce((s, d, i) => s + (d - 4.5) * sleep.outcome[i]!, 0) /
      days.reduce((s, d) => s + (d - 4.5) ** 2, 0);
    expect(fit.fixedEffects[1]).toBeCloseTo(slope, 9);
    expect(predictedEffects(fit)).toEqual([]);
  });
});

describe("data that rule the model out, by name", () => {
  const { input } = referenceModel("sleepstudy_ri");
  const trouble = (other: LinearMixedInput): string => {
    const fit = fitLinearMixedModel(other);
    return "trouble" in fit ? `${fit.verdict} ${fit.trouble}: ${fit.detail}` : "none";
  };
  const [ones, days] = input.fixed.columns as [Float64Array, Float64Array];
  const subject = input.random[0]!;

  it("no rows, too few rows", () => {
    const none = new Float64Array(0);
    expect(trouble({ outcome: none, fixed: { names: ["one"], columns: [none] }, random: [] })).toMatch(
      /^failed no_rows/,
    );
    const two = Float64Array.of(1, 2);
    expect(
      trouble({ outcome: two, fixed: { names: ["one"], columns: [Float64Array.of(1, 1)] }, random: [] }),
    ).toMatch(/^failed too_few_rows/);
  });

  it("collinear fixed effects, the later one named", () => {
    const columns = [ones, days, days.map((d) => 2 * d - 3)];
    expect(trouble({ ...input, fixed: { names: ["one", "days", "twice"], columns } })).toBe(
      "failed rank_deficient: twice",
    );
  });

  it("an outcome that does not vary", () => {
    expect(trouble({ ...input, outcome: ones.map(() => 7.3) })).toMatch(/^failed constant_outcome/);
  });

  it("one group", () => {
    const one = { ...subject, levels: 1, membership: new Int32Array(ones.length) };
    expect(trouble({ ...input, random: [one] })).toMatch(/^failed too_few_groups: Subject/);
  });

  it("a group for every row", () => {
    const membership = Int32Array.from(ones.keys());
    expect(trouble({ ...input, random: [{ name: "row", levels: ones.length, membership }] })).toMatch(
      /^flat not_identified: row/,
    );
  });

  it("a term that the fixed effects take up whole", () => {
    const bySubject = Array.from({ length: 18 }, (_, s) =>
      Float64Array.from(subject.membership as Int32Array, (level) => (level === s ? 1 : 0)),
    );
    const fixed = { names: bySubject.map((_, s) => `subject ${s}`), columns: bySubject };
    expect(trouble({ ...input, fixed })).toBe(
      "flat not_identified: Subject cannot be told from the fixed effects",
    );
  });

  it("the same term twice", () => {
    expect(trouble({ ...input, random: [subject, { ...subject, name: "again" }] })).toMatch(
      /^flat not_identified: .*(Subject|again)/,
    );
  });

  it("values that are no numbers, weights that are not above zero, levels out of range", () => {
    expect(trouble({ ...input, outcome: ones.map((_, i) => (i === 4 ? Number.NaN : i)) })).toMatch(
      /^failed invalid_input: outcome, row 4/,
    );
    expect(trouble({ ...input, weights: ones.map((_, i) => i) })).toMatch(/^failed invalid_input: a weight/);
    expect(trouble({ ...input, random: [{ ...subject, levels: 3 }] })).toMatch(
      /^failed invalid_input: Subject/,
    );
    expect(trouble({ ...input, offset: new Float64Array(3) })).toMatch(/^failed invalid_input: offset/);
  });
});
