import { describe, expect, it } from "vitest";
import { sparseEntry, sparseMultiply } from "../../../src/statistics/linear-algebra/sparse-symmetric.ts";
import { inbreeding } from "../../../src/statistics/pedigree/inbreeding.ts";
import {
  addRelationshipInverseProduct,
  relationshipInverse,
  relationshipInverseDiagonal,
} from "../../../src/statistics/pedigree/relationship-inverse.ts";
import {
  checkedPedigree,
  largestDifference,
  type ReferenceMatrix,
  referenceCase,
  referencePedigree,
  written,
} from "./reference-flocks.ts";

describe("relationshipInverse", () => {
  it.each([
    ["mrode21", "mrode_2_1_A"],
    ["inbred10", "full_sib_backcross"],
    ["mrode31", "mrode_3_1_blup"],
  ])("inverts the relationship matrix of %s", (name, id) => {
    const flock = referencePedigree(name);
    const { A_inverse } = referenceCase<{ A_inverse: ReferenceMatrix }>(id);
    const inverse = relationshipInverse(flock, inbreeding(flock).mendelianVariance);
    expect(largestDifference(written(inverse), A_inverse.row_major)).toBeLessThan(1e-13);
  });

  it("gives entries of Henderson (1976), Biometrics 32:69-83 (from memory)", () => {
    const flock = checkedPedigree([-1, -1, 0, 0, 2, 0, 4], [-1, -1, -1, 1, 3, 3, 5]);
    const inverse = relationshipInverse(flock, inbreeding(flock).mendelianVariance);
    const entries: [number, number, number][] = [
      [1, 1, 2.3333],
      [4, 4, 3],
      [5, 5, 2.6154],
      [6, 6, 2.6154],
      [5, 6, 0.6154],
      [5, 7, -1.2308],
      [7, 7, 2.4615],
    ];
    for (const [i, j, value] of entries) expect(sparseEntry(inverse, i - 1, j - 1)).toBeCloseTo(value, 4);
  });

  it("without inbreeding gives Henderson's plain rules, which are wrong for this pedigree", () => {
    const flock = referencePedigree("mrode21");
    const plain = relationshipInverse(flock, Float64Array.of(1, 1, 0.5, 0.75, 0.5, 0.5));
    // Plain rule values of Mrode (2014), p. 43: 2, 4/3 and 1 as both, one or no parents are known.
    const entries: [number, number, number][] = [
      [2, 2, 2],
      [2, 5, 0.5],
      [2, 6, -1],
      [5, 5, 2.5],
      [5, 6, -1],
      [6, 6, 2],
    ];
    for (const [i, j, value] of entries) expect(sparseEntry(plain, i - 1, j - 1)).toBeCloseTo(value, 12);
    const exact = relationshipInverse(flock, inbreeding(flock).mendelianVariance);
    expect(sparseEntry(exact, 5, 5)).toBeCloseTo(2.1333, 4);
    expect(sparseEntry(exact, 1, 5)).toBeCloseTo(-1.0667, 4);
  });

  it("multiplies and lists its diagonal without being formed", () => {
    const flock = referencePedigree("sim160");
    const { mendelianVariance } = inbreeding(flock);
    const inverse = relationshipInverse(flock, mendelianVariance);
    const x = Float64Array.from({ length: flock.size }, (_, i) => Math.sin(i));
    const product = new Float64Array(flock.size);
    addRelationshipInverseProduct(flock, mendelianVariance, x, 1, product);
    expect(largestDifference(product, sparseMultiply(inverse, x))).toBeLessThan(1e-13);
    const diagonal = Float64Array.from(x, (_, i) => sparseEntry(inverse, i, i));
    expect(largestDifference(relationshipInverseDiagonal(flock, mendelianVariance), diagonal)).toBeLessThan(
      1e-13,
    );
  });
});
