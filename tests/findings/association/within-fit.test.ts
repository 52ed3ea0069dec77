import { describe, expect, test } from "vitest";
import { loneFocus } from "../../../src/findings/association/focus.ts";
import type { OutcomeRows } from "../../../src/findings/association/outcome-rows.ts";
import { fitWithin, type WithinFit } from "../../../src/findings/association/within-fit.ts";
import {
  type AssociationFlockPlan,
  simulatedOutcomes,
  usualFlock,
} from "../../coverage/association-flock.ts";

const wetness = [loneFocus("wetness")];

function fitted(rows: OutcomeRows): WithinFit {
  const fit = fitWithin(rows, wetness, "logit");
  if ("why" in fit) throw new Error(JSON.stringify(fit));
  return fit;
}

const covered = (
  rows: OutcomeRows,
  columns: Readonly<Record<string, (row: number) => boolean>>,
): OutcomeRows => ({
  ...rows,
  covariates: {
    names: Object.keys(columns),
    columns: Object.values(columns).map((has) =>
      Float64Array.from({ length: rows.count }, (_, i) => (has(i) ? 1 : 0)),
    ),
  },
});

describe("a logistic model within pens", () => {
  const plan: AssociationFlockPlan = { ...usualFlock, goats: 32, pens: 4, days: 360, scoreEvery: 21 };
  const { lame } = simulatedOutcomes(plan, 5);

  test("is fitted where two indicators part the events only between them", () => {
    // Goats 0 to 4 were never lame on rows of even number; the larger group holds those rows and others.
    const rows: OutcomeRows = {
      ...lame,
      outcome: lame.outcome.map((y, i) => (lame.animal[i]! < 5 && i % 2 === 0 ? 0 : y)),
    };
    const larger = (i: number): boolean => rows.animal[i]! < 10;
    const rest = (i: number): boolean => larger(i) && !(rows.animal[i]! < 5 && i % 2 === 0);
    const fit = fitted(covered(rows, { "age_band:larger": larger, "class:rest": rest }));
    expect(fit.fixed.names).toContain("age_band:larger");
    expect(fit.fixed.names).not.toContain("class:rest");
    const without = fitted(covered(rows, { "age_band:larger": larger }));
    expect(fit.slopes[0]!.estimate).toBeCloseTo(without.slopes[0]!.estimate, 10);
  });
});

describe("with too few months for a random term", () => {
  const plan: AssociationFlockPlan = {
    ...usualFlock,
    goats: 60,
    pens: 6,
    days: 150,
    scoreEvery: 14,
    lameness: { ...usualFlock.lameness, mean: -1.5 },
  };
  const { lame } = simulatedOutcomes(plan, 3);

  test("a month without a lame goat is left out, as it says nothing of what differs within it", () => {
    const quiet = lame.months.length - 1;
    const month = Int32Array.from(
      { length: lame.count },
      (_, i) => lame.month.level[lame.month.rowStart[i]!]!,
    );
    const rows: OutcomeRows = { ...lame, outcome: lame.outcome.map((y, i) => (month[i] === quiet ? 0 : y)) };
    expect(rows.months.length).toBeLessThan(6);
    const fit = fitted(rows);
    expect(fit.rows.months).toHaveLength(rows.months.length - 1);
    expect(fit.rows.count).toBe(month.filter((one) => one !== quiet).length);
    expect(Number.isFinite(fit.slopes[0]!.estimate)).toBe(true);
  });
});
