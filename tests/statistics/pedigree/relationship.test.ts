import { describe, expect, it } from "vitest";
import { inbreeding } from "../../../src/statistics/pedigree/inbreeding.ts";
import { pedigree } from "../../../src/statistics/pedigree/pedigree.ts";
import {
  expectedInbreeding,
  relationshipMatrix,
  relationshipRow,
} from "../../../src/statistics/pedigree/relationship.ts";
import {
  checkedPedigree,
  largestDifference,
  type ReferenceMatrix,
  referenceCase,
  referencePedigree,
} from "./reference-flocks.ts";

const hendersonFlock = () => checkedPedigree([-1, -1, 0, 0, 2, 0, 4], [-1, -1, -1, 1, 3, 3, 5]);

describe("relationshipMatrix", () => {
  it("gives the matrix of Mrode (2014), table 2.1", () => {
    const flock = referencePedigree("mrode21");
    const printed = [
      [1, 0, 0.5, 0.5, 0.5, 0.25],
      [0, 1, 0.5, 0, 0.25, 0.625],
      [0.5, 0.5, 1, 0.25, 0.625, 0.5625],
      [0.5, 0, 0.25, 1, 0.625, 0.3125],
      [0.5, 0.25, 0.625, 0.625, 1.125, 0.6875],
      [0.25, 0.625, 0.5625, 0.3125, 0.6875, 1.125],
    ];
    expect(largestDifference(relationshipMatrix(flock, inbreeding(flock)), printed.flat())).toBeLessThan(
      1e-15,
    );
  });

  it("gives entries of Henderson (1976), Biometrics 32:69-83 (from memory)", () => {
    const flock = hendersonFlock();
    const a = relationshipMatrix(flock, inbreeding(flock));
    expect([a[6 * 7 + 6], a[5 * 7 + 6], a[4 * 7 + 6]]).toEqual([1.28125, 0.90625, 0.84375]);
  });

  it("agrees with the tabular method on a strongly inbred pedigree", () => {
    const flock = referencePedigree("inbred10");
    const { A } = referenceCase<{ A: ReferenceMatrix }>("full_sib_backcross");
    expect(largestDifference(relationshipMatrix(flock, inbreeding(flock)), A.row_major)).toBeLessThan(1e-14);
  });

  it("gives a subset and a row that are parts of the whole", () => {
    const flock = referencePedigree("inbred10");
    const kin = inbreeding(flock);
    const whole = relationshipMatrix(flock, kin);
    expect([...relationshipRow(flock, kin, 7)]).toEqual([...whole.subarray(70, 80)]);
    expect([...relationshipMatrix(flock, kin, [9, 4])]).toEqual([whole[99], whole[94], whole[49], whole[44]]);
  });
});

describe("expectedInbreeding", () => {
  it("is the inbreeding that the kid then has", () => {
    const flock = hendersonFlock();
    // Animal 7 of the list is a kid of 5 and 6.
    expect(expectedInbreeding(flock, inbreeding(flock), 4, 5)).toBe(0.28125);
  });
});

describe("candidate sires", () => {
  const two = pedigree({
    sire: [-1, 0, -1, -1],
    dam: [-1, -1, -1, 2],
    candidateSires: new Map([
      [
        3,
        [
          { sire: 0, probability: 0.5 },
          { sire: 1, probability: 0.5 },
        ],
      ],
    ]),
  });

  it("averages the relationships over the candidates", () => {
    if (!two.ok) throw new Error("expected no faults");
    const kin = inbreeding(two.pedigree);
    // With sire 0: A(kid, 0) = 1/2, with sire 1 (his son): A(kid, 0) = 1/4; a non-inbred kid has A = 1.
    const row = relationshipRow(two.pedigree, kin, 3);
    expect([...row]).toEqual([0.375, 0.375, 0.5, 1]);
    // Henderson (1988): D = 1 - 1/4 - q'Aq / 4, q'Aq = (1 + 1 + 2 x 1/2) / 4.
    expect(kin.mendelianVariance[3]).toBeCloseTo(1 - 0.25 - 0.75 / 4, 14);
  });

  it("is the mean over the pedigrees with either sire (Henderson 1988)", () => {
    const parents = (sire: number) => checkedPedigree([-1, -1, 0, 0, sire, 4], [-1, -1, 1, 1, 1, 2]);
    const candidates = pedigree({
      sire: [-1, -1, 0, 0, -1, 4],
      dam: [-1, -1, 1, 1, 1, 2],
      candidateSires: new Map([
        [
          4,
          [
            { sire: 0, probability: 0.3 },
            { sire: 3, probability: 0.7 },
          ],
        ],
      ]),
    });
    if (!candidates.ok) throw new Error("expected no faults");
    const matrixOf = (flock: Parameters<typeof inbreeding>[0]) =>
      relationshipMatrix(flock, inbreeding(flock));
    const first = matrixOf(parents(0));
    const second = matrixOf(parents(3));
    const mean = first.map((x, i) => 0.3 * x + 0.7 * second[i]);
    expect(largestDifference(matrixOf(candidates.pedigree), mean)).toBeLessThan(1e-14);
  });

  it("with one certain candidate is the plain pedigree, and chances that miss 1 leave an unrelated sire", () => {
    const one = (probability: number) => {
      const made = pedigree({
        sire: [-1, -1, -1],
        dam: [-1, -1, 1],
        candidateSires: new Map([[2, [{ sire: 0, probability }]]]),
      });
      if (!made.ok) throw new Error("expected no faults");
      return made.pedigree;
    };
    const plain = checkedPedigree([-1, -1, 0], [-1, -1, 1]);
    expect(inbreeding(one(1))).toEqual(inbreeding(plain));
    expect([...relationshipRow(one(0.6), inbreeding(one(0.6)), 2)]).toEqual([0.3, 0.5, 1]);
  });
});
