import { describe, expect, test } from "vitest";
import { slopeBetweenPens, whyNotBetweenPens } from "../../src/findings/association/between-units.ts";
import { loneFocus } from "../../src/findings/association/focus.ts";
import { identityMatrix } from "../../src/statistics/linear-algebra/dense-matrix.ts";

/** Pens whose usual wetness is their place in the list, spread over some flocks in turn. */
function pens(count: number, flocks: number) {
  const usual = (wetness: number) => ({
    crude_protein: 0,
    copper_diet: 0,
    mineral_copper: 0,
    zinc: 0,
    wetness,
  });
  return {
    pens: Array.from({ length: count }, (_, k) => ({
      flock: k % flocks,
      pen: `P${k}`,
      usual: usual(k),
    })),
    estimates: Float64Array.from({ length: count }, (_, k) => 2 * k + (k % 2 === 0 ? 0.1 : -0.1)),
    covariance: identityMatrix(count),
  };
}

const wetness = loneFocus("wetness");

describe("a slope between pens", () => {
  test("is given from six pens of one flock", () => {
    expect(slopeBetweenPens(pens(6, 1), wetness)?.estimate).toBeCloseTo(2, 1);
    expect(slopeBetweenPens(pens(5, 1), wetness)).toBeNull();
    expect(whyNotBetweenPens(pens(5, 1), wetness)).toBe("too_few_pens(5,6)");
  });

  // Each flock beyond the first takes a mean of its own: two flocks need seven pens for the degrees of freedom of six.
  test("needs one pen more for every further flock, and says so", () => {
    expect(slopeBetweenPens(pens(6, 2), wetness)).toBeNull();
    expect(whyNotBetweenPens(pens(6, 2), wetness)).toBe("too_few_pens(6,7)");
    expect(slopeBetweenPens(pens(7, 2), wetness)).not.toBeNull();
  });
});
