import { describe, expect, it } from "vitest";
import { inbreeding } from "../../../src/statistics/pedigree/inbreeding.ts";
import { checkedPedigree, largestDifference, referenceCase, referencePedigree } from "./reference-flocks.ts";

describe("inbreeding", () => {
  it("gives Mrode (2014), table 2.1: F = 0.125 for animals 5 and 6, and its Mendelian variances", () => {
    const { coefficient, mendelianVariance } = inbreeding(referencePedigree("mrode21"));
    expect([...coefficient]).toEqual([0, 0, 0, 0, 0.125, 0.125]);
    // D is printed as 1, 1, 0.5, 0.75, 0.5, 0.469.
    expect(largestDifference(mendelianVariance, [1, 1, 0.5, 0.75, 0.5, 0.46875])).toBe(0);
  });

  it("gives the pedigree of Henderson (1976), Biometrics 32:69-83 (from memory)", () => {
    const flock = checkedPedigree([-1, -1, 0, 0, 2, 0, 4], [-1, -1, -1, 1, 3, 3, 5]);
    expect([...inbreeding(flock).coefficient]).toEqual([0, 0, 0, 0, 0.125, 0.25, 0.28125]);
  });

  it.each([
    ["inbred10", "full_sib_backcross"],
    ["sim300", "sim300_reml"],
    ["sim160", "sim160_repeatability_reml"],
  ])("agrees with the tabular method on %s", (flock, id) => {
    const { inbreeding: want } = referenceCase<{ inbreeding: number[] }>(id);
    expect(largestDifference(inbreeding(referencePedigree(flock)).coefficient, want)).toBeLessThan(1e-12);
  });

  it("takes half-sib mating, full-sib mating and parent-offspring mating (textbook: 1/8, 1/4, 1/4)", () => {
    const flock = checkedPedigree([-1, -1, -1, 0, 0, 0, 3, 3, 0], [-1, -1, -1, 1, 2, 1, 4, 5, 5]);
    expect([...inbreeding(flock).coefficient.subarray(6)]).toEqual([0.125, 0.25, 0.25]);
  });
});
