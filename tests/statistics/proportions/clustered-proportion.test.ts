import { describe, expect, test } from "vitest";
import { tUpperQuantile } from "../../../src/statistics/distributions/student-t.ts";
import {
  type ClusterCount,
  clusteredProportion,
} from "../../../src/statistics/proportions/clustered-proportion.ts";
import { scoreInterval } from "../../../src/statistics/proportions/proportion-interval.ts";

describe("proportion over clustered trials", () => {
  test("clusters of m trials that always agree count once: the design effect is m times G/(G − 1)", () => {
    // DEFF = 1 + (m − 1)·ICC with ICC = 1 (Kish 1965).
    const clusters = Array.from({ length: 40 }, (_, i) => ({ successes: i < 10 ? 5 : 0, trials: 5 }));
    const got = clusteredProportion(clusters)!;
    expect(got.designEffect).toBeCloseTo((5 * 40) / 39, 12);
    expect(got.effectiveTrials).toBeCloseTo(39, 10);
    const want = scoreInterval(39 / 4, 39, tUpperQuantile(0.025, 39))!;
    expect(got.lo).toBeCloseTo(want.lo, 12);
    expect(got.hi).toBeCloseTo(want.hi, 12);
    expect(got.estimate).toBe(0.25);
  });

  test("variance by hand: 1/4, 3/4, 2/4", () => {
    // p = 1/2, residuals −1, 1, 0: variance 3/2·2 = 3, independent 12·1/4 = 3.
    const got = clusteredProportion([
      { successes: 1, trials: 4 },
      { successes: 3, trials: 4 },
      { successes: 2, trials: 4 },
    ])!;
    expect(got.designEffect).toBeCloseTo(1, 12);
    expect(got.effectiveTrials).toBeCloseTo(12, 12);
  });

  // by hand: residuals ∓1, variance 2/1·2 = 4, independent 8·1/4 = 2
  test("two clusters are enough", () => {
    const got = clusteredProportion([
      { successes: 1, trials: 4 },
      { successes: 3, trials: 4 },
    ])!;
    expect(got.designEffect).toBeCloseTo(2, 12);
    expect(got.effectiveTrials).toBeCloseTo(4, 12);
  });

  test("never less than one, though the clusters be more even than chance", () => {
    expect(clusteredProportion(repeat({ successes: 2, trials: 4 }, 9))!.designEffect).toBe(1);
  });

  test("nothing or everything: each cluster counts as one trial", () => {
    for (const successes of [0, 6]) {
      const got = clusteredProportion(repeat({ successes, trials: 6 }, 15))!;
      expect(got.effectiveTrials).toBeCloseTo(15, 12);
      const want = scoreInterval(successes === 0 ? 0 : 15, 15, tUpperQuantile(0.025, 14))!;
      expect(got.lo).toBeCloseTo(want.lo, 12);
      expect(got.hi).toBeCloseTo(want.hi, 12);
    }
  });

  test("differences between strata do not count as spread", () => {
    const pens = [
      ...Array.from({ length: 10 }, () => ({ successes: 4, trials: 5, stratum: "wet" })),
      ...Array.from({ length: 10 }, () => ({ successes: 0, trials: 5, stratum: "dry" })),
    ];
    expect(clusteredProportion(pens)!.designEffect).toBe(1);
    const blind = pens.map(({ successes, trials }) => ({ successes, trials }));
    expect(clusteredProportion(blind)!.designEffect).toBeGreaterThan(3);
  });

  test("strata of one are pooled with each other; order does not matter", () => {
    const clusters: ClusterCount[] = [
      { successes: 1, trials: 3, stratum: 1 },
      { successes: 0, trials: 2, stratum: 2 },
      { successes: 4, trials: 4, stratum: 3 },
      { successes: 1, trials: 5, stratum: 3 },
      { successes: 3, trials: 3, stratum: 3 },
    ];
    const got = clusteredProportion(clusters)!;
    // by hand in 51sts: the two alone −30 and −54 give 2·288 = 576, the three 96, −84, 72 give 3/2·19104 = 28656; independent 72/17
    expect(got.designEffect).toBeCloseTo((576 + 28656) / 2601 / (72 / 17), 12);
    expect(clusteredProportion([...clusters].reverse())!.designEffect).toBeCloseTo(got.designEffect, 12);
    const renamed = clusters.map((cluster) => ({ ...cluster, stratum: `pen ${cluster.stratum}` }));
    expect(clusteredProportion(renamed)).toEqual(got);
  });

  // by hand: p = 3/5; the one alone −0.8 counts as it stands, the three 1.6, −2, 1.2 give 3/2·7.786667; independent 3.6
  test("a single stratum of one counts by its distance from the whole", () => {
    const got = clusteredProportion([
      { successes: 1, trials: 3, stratum: 1 },
      { successes: 4, trials: 4, stratum: 3 },
      { successes: 1, trials: 5, stratum: 3 },
      { successes: 3, trials: 3, stratum: 3 },
    ])!;
    expect(got.designEffect).toBeCloseTo((0.64 + 11.68) / 3.6, 12);
  });

  test("too few to tell", () => {
    expect(clusteredProportion([])).toBeUndefined();
    for (const successes of [3, -1])
      expect(() => clusteredProportion([{ successes, trials: 2 }])).toThrow(RangeError);
    expect(clusteredProportion([{ successes: 3, trials: 9 }])).toBeUndefined();
    expect(
      clusteredProportion([
        { successes: 3, trials: 9 },
        { successes: 0, trials: 0 },
      ]),
    ).toBeUndefined();
  });
});

function repeat(cluster: ClusterCount, times: number): ClusterCount[] {
  return Array.from({ length: times }, () => cluster);
}
