import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { pedigree } from "../../../src/statistics/pedigree/pedigree.ts";
import type { PedigreeInput } from "../../../src/statistics/pedigree/pedigree-input.ts";

const faultsOf = (input: PedigreeInput) => {
  const checked = pedigree(input);
  return checked.ok ? [] : checked.faults;
};

describe("pedigree", () => {
  it("sorts any order of rows parents first", () => {
    const checked = pedigree({ sire: [1, 4, -1, 1, -1], dam: [3, 2, -1, 2, -1] });
    if (!checked.ok) throw new Error("expected no faults");
    expect([...checked.pedigree.order]).toEqual([2, 4, 1, 3, 0]);
    expect([...checked.pedigree.generation]).toEqual([3, 1, 0, 2, 0]);
  });

  it("takes an empty list", () => {
    const checked = pedigree({ sire: [], dam: [] });
    expect(checked.ok && checked.pedigree.size).toBe(0);
  });

  it("shows a loop with the animals on it, kid before parent", () => {
    expect(faultsOf({ sire: [2, -1, -1, -1], dam: [-1, 0, 1, 0] })).toContainEqual({
      code: "loop",
      chain: [0, 2, 1, 0],
    });
  });

  it("shows every separate loop once", () => {
    const loops = faultsOf({ sire: [1, 0, 3, 4, 2], dam: [-1, -1, -1, -1, -1] }).filter(
      (f) => f.code === "loop",
    );
    expect(loops.map((f) => f.chain)).toEqual([
      [0, 1, 0],
      [2, 3, 4, 2],
    ]);
  });

  it("shows an animal that is its own parent", () => {
    expect(faultsOf({ sire: [0], dam: [-1] })).toEqual([{ code: "own_parent", chain: [0, 0] }]);
  });

  it("shows a sire that is a dam elsewhere, with a kid of each", () => {
    expect(faultsOf({ sire: [-1, 0, -1], dam: [-1, -1, 0] })).toEqual([
      { code: "sex_conflict", animal: 0, recorded: null, asSire: 1, asDam: 2, chain: [1, 0, 2] },
    ]);
  });

  it("shows a sire recorded as female and passes a dam recorded as female", () => {
    const input = { sire: [-1, 0, -1], dam: [-1, 2, -1], sex: ["female", null, "female"] as const };
    expect(faultsOf(input)).toEqual([
      { code: "sex_conflict", animal: 0, recorded: "female", asSire: 1, asDam: null, chain: [1, 0] },
    ]);
  });

  it("shows a parent born after its kid", () => {
    expect(faultsOf({ sire: [-1, 0], dam: [-1, -1], birth: [500, 400] })).toEqual([
      { code: "parent_younger", chain: [1, 0], kidBirth: 400, parentBirth: 500 },
    ]);
  });

  it("looks through an ancestor without a birth day", () => {
    const input = { sire: [-1, 0, 1], dam: [-1, -1, -1], birth: [500, null, 400] };
    expect(faultsOf(input)).toEqual([
      { code: "parent_younger", chain: [2, 1, 0], kidBirth: 400, parentBirth: 500 },
    ]);
  });

  it("collects all faults, not only the first", () => {
    const faults = faultsOf({
      sire: [9, 1, 3, 2, -1, 4],
      dam: [-1, -1, -1, -1, -1, -1],
      birth: [1, 1, 1, 1, 9, 5],
    });
    expect(new Set(faults.map((f) => f.code))).toEqual(
      new Set(["unknown_parent_index", "own_parent", "loop", "parent_younger"]),
    );
  });

  it("refuses candidate sires whose chances add to more than 1, and takes thirds", () => {
    const input = (probability: number): PedigreeInput => ({
      sire: [-1, -1, -1, -1],
      dam: [-1, -1, -1, -1],
      candidateSires: new Map([[3, [0, 1, 2].map((sire) => ({ sire, probability }))]]),
    });
    expect(faultsOf(input(1 / 3))).toEqual([]);
    expect(faultsOf(input(0.4)).map((f) => f.code)).toEqual(["candidate_probability"]);
  });

  it("finds a loop exactly when the parents cannot be sorted", () => {
    const parent = fc.integer({ min: -1, max: 9 });
    fc.assert(
      fc.property(fc.array(parent, { minLength: 10, maxLength: 10 }), (sire) => {
        const faults = faultsOf({ sire, dam: sire.map(() => -1) });
        const cyclic = sire.some((_, start) => {
          let at = start;
          for (let step = 0; step < 10 && at >= 0; step++) {
            at = sire[at];
            if (at === start) return true;
          }
          return false;
        });
        expect(faults.length > 0).toBe(cyclic);
        for (const fault of faults) {
          if (fault.code !== "loop") continue;
          expect(fault.chain[0]).toBe(fault.chain[fault.chain.length - 1]);
          fault.chain.slice(1).forEach((p, k) => {
            expect(sire[fault.chain[k]]).toBe(p);
          });
        }
      }),
      { seed: 7, numRuns: 200 },
    );
  });
});
