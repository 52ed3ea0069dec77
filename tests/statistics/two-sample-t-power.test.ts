import { describe, expect, test } from "vitest";
import { twoSampleTPower } from "../../src/statistics/two-sample-t-power.ts";
import reference from "../reference/noncentral-t.json" with { type: "json" };

describe("power of the two-sample t test", () => {
  test.each(reference.power)(
    "difference $difference, $first and $second units",
    ({ difference, first, second, power }) => {
      expect(twoSampleTPower(difference, 1, first, second)).toBeCloseTo(power, 9);
    },
  );

  // Cohen 1988, Statistical Power Analysis for the Behavioral Sciences, 2nd ed., table 2.4.1 (from memory): units an arm
  // for a power of .80 at a two-sided 5 %: d .20 393, d .50 64, d .80 26. Printed sizes are within one of the exact.
  test.each([
    [0.2, 393],
    [0.5, 64],
    [0.8, 26],
  ])("Cohen's table: d %f wants %i an arm", (difference, units) => {
    expect(twoSampleTPower(difference, 1, units + 1, units + 1)!).toBeGreaterThanOrEqual(0.8);
    expect(twoSampleTPower(difference, 1, units - 1, units - 1)!).toBeLessThan(0.8);
  });

  // The example on the help page of power.t.test in R (from memory): n = 20, delta = 1, sd = 1.
  test("R's example", () => {
    expect(twoSampleTPower(1, 1, 20, 20)).toBeCloseTo(0.8689528, 6);
  });

  test("without a difference it is the size of the test, and only the ratio to the deviation counts", () => {
    expect(twoSampleTPower(0, 2, 5, 5)).toBeCloseTo(0.05, 12);
    expect(twoSampleTPower(3, 6, 8, 9)).toBeCloseTo(twoSampleTPower(0.5, 1, 8, 9)!, 12);
  });

  test("no figure without degrees of freedom or variance", () => {
    expect(twoSampleTPower(1, 1, 1, 1)).toBeUndefined();
    expect(twoSampleTPower(1, 0, 5, 5)).toBeUndefined();
  });
});
