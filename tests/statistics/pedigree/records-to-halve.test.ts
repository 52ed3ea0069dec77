import { expect, test } from "vitest";
import { animalModel } from "../../../src/statistics/pedigree/animal-model.ts";
import {
  breedingCombinations,
  linesAgainstOthers,
} from "../../../src/statistics/pedigree/breeding-combinations.ts";
import { pedigree } from "../../../src/statistics/pedigree/pedigree.ts";
import type { PedigreeInput } from "../../../src/statistics/pedigree/pedigree-input.ts";
import { recordsToHalve } from "../../../src/statistics/pedigree/records-to-halve.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { linesAsGroups } from "../../../src/statistics/pedigree/unknown-parent-groups.ts";
import type { TermsOfRecords } from "../../../src/statistics/pedigree/wider-records.ts";
import { Random } from "../../../src/statistics/random.ts";

/** A record: who, in which pen, at which visit. */
interface Look {
  readonly animal: number;
  readonly pen: number;
  readonly visit: number;
}

const PENS = 3;
const terms: TermsOfRecords = {
  ofAnimal: ["permanent"],
  place: "pen",
  ofVisit: ["month"],
  ofVisitAndPlace: ["pen_month"],
};
/** Additive, line, permanent, pen, pen-by-month, month, residual. */
const LASTING = Float64Array.of(0.4, 0.2, 0.1, 0.2, 0.1, 0.1, 0.5);
/** Little of a goat's own beyond its breeding, and of its pen: a visit more tells much. */
const PASSING = Float64Array.of(0.4, 0.2, 0.005, 0.005, 0.1, 0.1, 1);

/** 24 goats of two lines: 8 without parents, 16 kids of theirs; three visits, each goat in one pen. */
function herd(): { parents: PedigreeInput; line: number[]; pen: number[]; looks: Look[] } {
  const random = new Random(3);
  const sire = [...new Array(8).fill(-1), ...Array.from({ length: 16 }, () => random.integer(2))];
  const dam = [...new Array(8).fill(-1), ...Array.from({ length: 16 }, () => 2 + random.integer(6))];
  const line = sire.map((_, i) => i % 2);
  const pen = sire.map(() => random.integer(PENS));
  const looks = [0, 1, 2].flatMap((visit) => sire.map((_, animal) => ({ animal, pen: pen[animal]!, visit })));
  return { parents: { sire, dam }, line, pen, looks };
}

function design(parents: PedigreeInput, line: readonly number[], looks: readonly Look[]) {
  const checked = pedigree(parents);
  if (!checked.ok) throw new Error("faults");
  const visits = 1 + Math.max(...looks.map(({ visit }) => visit));
  const by = (of: (look: Look) => number, levels: number) => indexDesign(Int32Array.from(looks, of), levels);
  return {
    fixed: [new Float64Array(looks.length).fill(1)],
    pedigree: checked.pedigree,
    animal: by(({ animal }) => animal, line.length),
    groups: linesAsGroups(Int32Array.from(line), 2),
    others: [
      { name: "permanent", design: by(({ animal }) => animal, line.length) },
      { name: "pen", design: by(({ pen }) => pen, PENS) },
      { name: "pen_month", design: by(({ pen, visit }) => PENS * visit + pen, PENS * visits) },
      { name: "month", design: by(({ visit }) => visit, visits) },
    ],
  };
}

/** Standard error of the first line's difference by the general solver, from records written out one by one. */
function standardError(
  variances: Float64Array,
  parents: PedigreeInput,
  line: readonly number[],
  looks: readonly Look[],
): number {
  const model = animalModel({ ...design(parents, line, looks), y: looks.map((_, r) => r % 7) });
  if ("verdict" in model) throw new Error(model.detail);
  const members = [0, 1].map((l) => line.flatMap((own, i) => (own === l ? [i] : [])));
  return Math.sqrt(breedingCombinations(model, variances, linesAgainstOthers(members)).covariance.values[0]!);
}

function needed(variances: Float64Array) {
  const residual = variances.at(-1)!;
  const ratios = variances.subarray(0, -1).map((variance) => Math.sqrt(variance / residual));
  const { parents, line, looks } = herd();
  const members = [0, 1].map((l) => line.flatMap((own, i) => (own === l ? [i] : [])));
  const weights = new Float64Array(looks.length).fill(1);
  const recorded = line.map((_, i) => i);
  return recordsToHalve(
    { design: design(parents, line, looks), weights, ratios },
    recorded,
    line.map(() => 3),
    linesAgainstOthers(members),
    terms,
  )[0]!;
}

/** Every goat `times` over, sibs of the first beside it. */
function manyfold(times: number): number {
  const { parents, line, looks } = herd();
  const copies = Array.from({ length: times }, (_, c) => c);
  return standardError(
    LASTING,
    {
      sire: copies.flatMap(() => Array.from(parents.sire)),
      dam: copies.flatMap(() => Array.from(parents.dam)),
    },
    copies.flatMap(() => line),
    copies.flatMap((c) => looks.map((look) => ({ ...look, animal: look.animal + c * line.length }))),
  );
}

/** So many visits more, each goat in its pen. */
function afterVisits(variances: Float64Array, more: number): number {
  const { parents, line, pen, looks } = herd();
  const visits = Array.from({ length: more }, (_, k) =>
    line.map((_, animal) => ({ animal, pen: pen[animal]!, visit: 3 + k })),
  );
  return standardError(variances, parents, line, [...looks, ...visits.flat()]);
}

test("so many goats more, written out as goats, halve the standard error", () => {
  const { animalsForEach } = needed(LASTING);
  const half = manyfold(1) / 2;
  expect(manyfold(1 + Math.ceil(animalsForEach!))).toBeLessThan(half);
  expect(manyfold(Math.floor(animalsForEach!))).toBeGreaterThan(half);
});

test("so many visits more, written out as visits, halve the standard error", () => {
  const { visits } = needed(PASSING);
  const half = afterVisits(PASSING, 0) / 2;
  // within a twentieth: the curve is straightened between powers of two
  expect(afterVisits(PASSING, Math.ceil(1.05 * visits!))).toBeLessThan(half);
  expect(afterVisits(PASSING, Math.floor(0.95 * visits!))).toBeGreaterThan(half);
});

test("what visits cannot halve is not said to take some number of visits", () => {
  expect(needed(LASTING).visits).toBeNull();
  expect(afterVisits(LASTING, 40)).toBeGreaterThan(afterVisits(LASTING, 0) / 2);
});
