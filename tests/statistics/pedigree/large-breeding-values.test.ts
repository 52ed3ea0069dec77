import { describe, expect, it } from "vitest";
import { breedingValues } from "../../../src/statistics/pedigree/breeding-values.ts";
import { inbreeding } from "../../../src/statistics/pedigree/inbreeding.ts";
import { iterativeBreedingValues } from "../../../src/statistics/pedigree/iterative-breeding-values.ts";
import { largeBreedingValues } from "../../../src/statistics/pedigree/large-breeding-values.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { linesAsGroups } from "../../../src/statistics/pedigree/unknown-parent-groups.ts";
import { HERDS, randomMatingFlock } from "./random-mating.ts";
import { checkedPedigree, largestDifference, randomMatingReference } from "./reference-flocks.ts";
import { modelOf, sim160Input, sim300Input } from "./reference-models.ts";

describe("iterativeBreedingValues", () => {
  it("agrees with a sparse Cholesky of another program on 10,000 animals, inbreeding ignored as there", () => {
    const flock = randomMatingFlock(10_000);
    const size = flock.y.length;
    const known = (i: number) => Number(flock.sire[i] >= 0) + Number(flock.dam[i] >= 0);
    const kin = {
      coefficient: new Float64Array(size),
      mendelianVariance: Float64Array.from({ length: size }, (_, i) => 1 - known(i) / 4),
    };
    const got = iterativeBreedingValues(
      {
        y: flock.y,
        fixed: [new Float64Array(size).fill(1), flock.male],
        pedigree: checkedPedigree(flock.sire, flock.dam),
        animal: indexDesign(
          Int32Array.from({ length: size }, (_, i) => i),
          size,
        ),
        others: [{ name: "herd", design: indexDesign(flock.herd, HERDS) }],
      },
      Float64Array.of(0.3, 0.25, 0.7),
      { kin },
    );
    if (got.verdict !== "converged") throw new Error(got.detail);
    const want = randomMatingReference;
    expect(got.relativeResidual).toBeLessThan(1e-8);
    expect(got.fixed[0]).toBeCloseTo(want.mu, 7);
    expect(got.fixed[1]).toBeCloseTo(want.sex, 7);
    expect(got.value[0]).toBeCloseTo(want.u_first, 6);
    expect(got.value[size - 1]).toBeCloseTo(want.u_last, 6);
    expect(got.value.reduce((sum, u) => sum + u * u, 0) / want.u_sumsq).toBeCloseTo(1, 7);
  });

  it.each([
    ["other terms", { ...sim160Input() }, Float64Array.of(4, 1, 3, 5)],
    ["a term of variance zero", { ...sim160Input() }, Float64Array.of(4, 0, 3, 5)],
    [
      "weights and genetic groups",
      {
        ...sim300Input(),
        weights: Array.from(sim300Input().y, (_, r) => 1 + (r % 3)),
        groups: linesAsGroups(
          Array.from({ length: 300 }, (_, i) => i % 5),
          5,
        ),
      },
      Float64Array.of(4, 2, 1, 8),
    ],
  ])("agrees with the factored equations with %s", (_, input, variances) => {
    const got = iterativeBreedingValues(input, variances, { tolerance: 1e-12 });
    if (got.verdict !== "converged") throw new Error(got.detail);
    expect(largestDifference(got.value, breedingValues(modelOf(input), variances).value)).toBeLessThan(1e-9);
  });

  it("says so when it does not converge, and refuses variances that do not fit the terms", () => {
    const kin = inbreeding(sim300Input().pedigree);
    const variances = Float64Array.of(4, 1, 8);
    expect(iterativeBreedingValues(sim300Input(), variances, { kin, mostIterations: 3 })).toMatchObject({
      verdict: "failed",
      trouble: "not_converged",
    });
    expect(iterativeBreedingValues(sim300Input(), Float64Array.of(4, 8))).toMatchObject({
      trouble: "invalid_input",
    });
  });
});

describe("largeBreedingValues", () => {
  const input = {
    ...sim300Input(),
    groups: linesAsGroups(
      Array.from({ length: 300 }, (_, i) => i % 5),
      5,
    ),
  };
  const variances = Float64Array.of(4, 2, 1, 8);

  it("is exact while the factor is small, and samples beyond within its stated error", () => {
    const exact = largeBreedingValues(input, variances, { seed: 1 });
    const sampled = largeBreedingValues(input, variances, { seed: 1, mostNonzeros: 0, samples: 300 });
    if (exact.verdict !== "converged" || sampled.verdict !== "converged") throw new Error("not converged");
    expect(exact.method).toBe("selected-inverse");
    expect(sampled.method).toBe("sampled");
    expect(sampled.nonzeros).toBe(exact.nonzeros);
    expect(largestDifference(sampled.value, exact.value)).toBeLessThan(1e-6);
    const scores = exact.errorVariance.map(
      (pev, i) => (sampled.errorVariance[i] - pev) / sampled.samplingError[i],
    );
    const meanSquare = scores.reduce((sum, z) => sum + z * z, 0) / scores.length;
    // Scores of neighbours are correlated: their mean square is 1 with an error of about 0.1.
    expect(meanSquare).toBeGreaterThan(0.7);
    expect(meanSquare).toBeLessThan(1.4);
    expect(scores.reduce((most, z) => Math.max(most, Math.abs(z)), 0)).toBeLessThan(4.5);
  });

  it("gives the same numbers for the same seed", () => {
    const options = { seed: 9, mostNonzeros: 0, samples: 5 };
    expect(largeBreedingValues(input, variances, options)).toEqual(
      largeBreedingValues(input, variances, options),
    );
  });
});
