import { describe, expect, test } from "vitest";
import { kaplanMeier, kaplanMeierQuantile } from "../../../src/statistics/survival/kaplan-meier.ts";
import { logRank } from "../../../src/statistics/survival/log-rank.ts";
import reference from "../../reference/survival.json" with { type: "json" };

const { aml, lung } = reference.datasets;

describe.each([
  ["km_aml_log-log", aml.time, aml.status, aml.x, ["Maintained", "Nonmaintained"]],
  ["km_lung_sex", lung.time, lung.status.map((s) => s - 1), lung.sex, [1, 2]],
] as const)("Kaplan-Meier against R survfit: %s", (id, time, event, group, groups) => {
  const table = reference.cases[id];
  const lengths = Object.values(table.strata);
  test.each(groups.map((g, k) => [g, k] as const))("group %s", (g, k) => {
    const rows = Array.from(time.keys()).filter((i) => group[i] === g);
    const fit = converged(kaplanMeier({ time: rows.map((i) => time[i]), event: rows.map((i) => event[i]!) }));
    const from = lengths.slice(0, k).reduce((sum, n) => sum + n, 0);
    const own = <T>(column: readonly T[]) => column.slice(from, from + lengths[k]!);
    expect([...fit.time]).toEqual(own(table.time));
    expect([...fit.atRisk]).toEqual(own(table.n_risk));
    expect([...fit.events]).toEqual(own(table.n_event));
    expect([...fit.censored]).toEqual(own(table.n_censor));
    near(fit.survival, own(table.surv));
    near(fit.standardError, own(table.greenwood_se_of_surv));
    near(fit.lo, own(table.lower));
    near(fit.hi, own(table.upper));
    for (const [c, p] of [0.25, 0.5, 0.75].entries()) {
      const got = kaplanMeierQuantile(fit, p);
      expect(got.time).toBe(table.quantile_25_50_75.row_major[3 * k + c]);
      expect(got.lo).toBe(table.quantile_lower.row_major[3 * k + c]);
      expect(got.hi).toBe(table.quantile_upper.row_major[3 * k + c]);
    }
  });
});

// Freireich et al. (1963), 6-mercaptopurine against placebo, weeks in remission; figures from memory, recomputed.
const drug = {
  time: [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35],
  event: [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0],
};
const placebo = {
  time: [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23],
  event: new Array<number>(21).fill(1),
};

describe("remission of leukaemia (Freireich et al. 1963)", () => {
  test("product-limit table and medians", () => {
    const fit = converged(kaplanMeier(drug));
    const rows = Array.from(fit.time.keys()).filter((k) => fit.events[k] > 0);
    expect(
      rows.map((k) => [
        fit.time[k],
        fit.atRisk[k],
        fit.events[k],
        round(fit.survival[k]!),
        round(fit.standardError[k]!),
      ]),
    ).toEqual([
      [6, 21, 3, 0.8571, 0.0764],
      [7, 17, 1, 0.8067, 0.0869],
      [10, 15, 1, 0.7529, 0.0963],
      [13, 12, 1, 0.6902, 0.1068],
      [16, 11, 1, 0.6275, 0.1141],
      [22, 7, 1, 0.5378, 0.1282],
      [23, 6, 1, 0.4482, 0.1346],
    ]);
    expect(kaplanMeierQuantile(fit, 0.5).time).toBe(23);
    expect(kaplanMeierQuantile(converged(kaplanMeier(placebo)), 0.5).time).toBe(8);
  });

  test("log-rank", () => {
    const both = { time: [...placebo.time, ...drug.time], event: [...placebo.event, ...drug.event] };
    const got = converged(logRank({ ...both, group: both.time.map((_, i) => (i < 21 ? 0 : 1)), groups: 2 }));
    expect([...got.observed]).toEqual([21, 9]);
    expect(got.expected[0]).toBeCloseTo(10.749, 3);
    expect(got.expected[1]).toBeCloseTo(19.251, 3);
    expect(got.chiSquare).toBeCloseTo(16.793, 3);
    expect(got.p).toBeCloseTo(4.17e-5, 7);
  });
});

describe("log-rank against R survdiff", () => {
  const codes = (labels: readonly unknown[]) => {
    const levels = [...new Set(labels)].sort();
    return { group: labels.map((label) => levels.indexOf(label)), groups: levels.length };
  };
  test.each([
    ["logrank", 0],
    ["peto_rho1", 1],
  ] as const)("aml, %s", (name, rho) => {
    const want = reference.cases.logrank_aml[name];
    const got = converged(logRank({ time: aml.time, event: aml.status, ...codes(aml.x), rho }));
    near(got.observed, want.obs);
    near(got.expected, want.exp);
    near(got.variance.values, want.var.row_major);
    near([got.chiSquare, got.df, got.p], [want.chisq, want.df, want.p]);
  });

  test("lung: by sex, by four performance scores, by sex within institution", () => {
    const event = lung.status.map((s) => s - 1);
    const cases = reference.cases.logrank_lung;
    const bySex = converged(logRank({ time: lung.time, event, ...codes(lung.sex) }));
    near([bySex.chiSquare, bySex.p, ...bySex.expected], [cases.sex.chisq, cases.sex.p, ...cases.sex.exp]);
    const scored = Array.from(lung.time.keys()).filter((i) => lung["ph.ecog"][i] !== null);
    const pick = <T>(column: readonly T[], rows: number[]) => rows.map((i) => column[i]!);
    const byScore = converged(
      logRank({
        time: pick(lung.time, scored),
        event: pick(event, scored),
        ...codes(pick(lung["ph.ecog"], scored)),
      }),
    );
    near([byScore.chiSquare, byScore.df, byScore.p], [cases.ph_ecog.chisq, 3, cases.ph_ecog.p]);
    const placed = Array.from(lung.time.keys()).filter((i) => lung.inst[i] !== null);
    const within = converged(
      logRank({
        time: pick(lung.time, placed),
        event: pick(event, placed),
        ...codes(pick(lung.sex, placed)),
        stratum: pick(lung.inst, placed) as number[],
      }),
    );
    near([within.chiSquare, within.p], [cases.sex_strata_inst.chisq, cases.sex_strata_inst.p]);
    near(within.expected, cases.sex_strata_inst.exp);
  });
});

describe("what cannot be told", () => {
  test("no rows, no events, all events at once", () => {
    expect(kaplanMeier({ time: [], event: [] })).toMatchObject({ verdict: "failed", trouble: "no_rows" });
    expect(kaplanMeier({ time: [1, -2], event: [1, 1] })).toMatchObject({ trouble: "invalid_input" });
    const none = converged(kaplanMeier({ time: [3, 5], event: [0, 0] }));
    expect([...none.survival]).toEqual([1, 1]);
    expect(kaplanMeierQuantile(none, 0.5)).toEqual({ time: null, lo: null, hi: null });
    const once = converged(kaplanMeier({ time: [4, 4, 4], event: [1, 1, 1] }));
    expect([...once.survival]).toEqual([0]);
    expect(once.lo).toEqual([null]);
    expect(kaplanMeierQuantile(once, 0.5).time).toBe(4);
  });
  test("log-rank without events or with one group", () => {
    expect(logRank({ time: [1, 2], event: [0, 0], group: [0, 1], groups: 2 })).toMatchObject({
      trouble: "no_events",
    });
    expect(logRank({ time: [1, 2], event: [1, 1], group: [0, 0], groups: 1 })).toMatchObject({
      trouble: "too_few_groups",
    });
    expect(logRank({ time: [1], event: [1], group: [3], groups: 2 })).toMatchObject({
      trouble: "invalid_input",
    });
  });
});

function converged<T extends { verdict: string }>(fit: T): Extract<T, { verdict: "converged" }> {
  expect(fit).toMatchObject({ verdict: "converged" });
  return fit as Extract<T, { verdict: "converged" }>;
}

function near(got: ArrayLike<number | null>, want: readonly (number | null)[]) {
  expect(got.length).toBe(want.length);
  want.forEach((value, i) => {
    if (value === null) expect(got[i]).toBeNull();
    else expect(Math.abs(got[i]! - value)).toBeLessThanOrEqual(1e-9 + 1e-9 * Math.abs(value));
  });
}

function round(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}
