import { expect, test } from "vitest";
import { animalModel } from "../../../src/statistics/pedigree/animal-model.ts";
import { solvedAt } from "../../../src/statistics/pedigree/breeding-values.ts";
import { type MidParentErrors, midParentErrors } from "../../../src/statistics/pedigree/mid-parent.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { checkedPedigree } from "./reference-flocks.ts";

const ADDITIVE = 0.3;
const RESIDUAL = 0.7;

// Falconer & Mackay 1996, Introduction to Quantitative Genetics, 4th ed. (from memory): with parents without kin the
// squared accuracy of a kid's value is half that of theirs, k records each giving them Va / (Va + Ve/k). By hand: of
// n animals without kin the mean of all takes the share 1/n of every variance.
test.each([1, 50])("parents without kin with %i records each forecast half of what is known of them", (k) => {
  const animals = 40;
  const who = Array.from({ length: animals * k }, (_, r) => r % animals);
  const unknown = new Array(animals).fill(-1);
  const { reliability, errorCorrelation } = errorsOf(unknown, unknown, who)!;
  const share = (1 / 2 - 1 / animals) / (1 - 1 / animals);
  expect(reliability).toBeCloseTo((share * ADDITIVE) / (ADDITIVE + RESIDUAL / k), 9);
  expect(errorCorrelation).toBeCloseTo(-1 / (animals - 1), 9);
});

test("the errors of kin go together", () => {
  // 0 and 1 full sibs of 2 and 3; by hand: without a record of their own, what is not known of their parents is all
  // that their errors share: correlation 1/2 against a base without them
  const size = 40;
  const sire = [2, 2, ...new Array(size - 2).fill(-1)];
  const dam = [3, 3, ...new Array(size - 2).fill(-1)];
  const who = Array.from({ length: size - 4 }, (_, r) => r + 4);
  const level = 1 / who.length;
  const errors = errorsOf(sire, dam, who)!;
  // the mean value of the base is not told apart from the mean of the records: all of its variance stays
  const base = ADDITIVE * level;
  expect(errors.errorCorrelation).toBeCloseTo((ADDITIVE / 2 + base) / (ADDITIVE + base), 6);
  expect(errors.reliability).toBeCloseTo(0, 9);
});

/** Of the first two animals, against the mean of those with records. */
function errorsOf(sire: number[], dam: number[], who: number[]): MidParentErrors | undefined {
  const model = animalModel({
    y: who.map((_, r) => (r * 7) % 5),
    fixed: [new Float64Array(who.length).fill(1)],
    pedigree: checkedPedigree(sire, dam),
    animal: indexDesign(Int32Array.from(who), sire.length),
  });
  if ("verdict" in model) throw new Error(model.detail);
  const { solution, residual } = solvedAt(model, Float64Array.of(ADDITIVE, RESIDUAL));
  const base = [...new Set(who)];
  return midParentErrors(model, solution, residual, { additive: ADDITIVE, group: 0 }, base, [0, 1]);
}
