import { describe, expect, test } from "vitest";
import { noncentralTCumulative } from "../../../src/statistics/distributions/noncentral-t.ts";
import { tCumulative } from "../../../src/statistics/distributions/student-t.ts";
import reference from "../../reference/noncentral-t.json" with { type: "json" };

describe("noncentral t", () => {
  test.each(reference.noncentralT)(
    "P(T ≤ $x) at $df degrees, noncentrality $delta",
    ({ x, df, delta, p }) => {
      expect(Math.abs(noncentralTCumulative(x, df, delta) - p)).toBeLessThan(1e-9);
    },
  );

  test("without noncentrality it is Student's", () => {
    for (const x of [-3, -0.2, 0, 1.1, 8]) {
      expect(noncentralTCumulative(x, 7, 0)).toBeCloseTo(tCumulative(x, 7), 12);
    }
  });

  test("no degree of freedom gives NaN", () => {
    expect(noncentralTCumulative(1, 0, 1)).toBeNaN();
    expect(noncentralTCumulative(Number.NaN, 3, 1)).toBeNaN();
  });
});
