import { readFileSync } from "node:fs";
import { animalModel } from "../../src/statistics/pedigree/animal-model.ts";
import { fitAnimalModel } from "../../src/statistics/pedigree/fit-animal-model.ts";
import { inbreeding } from "../../src/statistics/pedigree/inbreeding.ts";
import { iterativeBreedingValues } from "../../src/statistics/pedigree/iterative-breeding-values.ts";
import { pedigree } from "../../src/statistics/pedigree/pedigree.ts";
import { indexDesign } from "../../src/statistics/pedigree/sparse-design.ts";
import { Random } from "../../src/statistics/random.ts";
import { HERDS, randomMatingFlock } from "../statistics/pedigree/random-mating.ts";

/** Seconds of one sparse Cholesky in R 4.2.2 with Matrix 1.5-3 on the same equations (2 cores, reference BLAS). */
const REFERENCE_SECONDS = new Map([
  [10_000, 0.076],
  [100_000, 21.548],
]);

/** Prints how long breeding values and variances take, and the fill of the equations. */
export function benchPedigree(print: (line: string) => void): void {
  for (const animals of [10_000, 100_000, 1_000_000]) print(valuesLine(animals));
  print(variancesLine(20_000, 10));
}

function valuesLine(animals: number): string {
  const flock = randomMatingFlock(animals);
  const start = performance.now();
  const checked = pedigree({ sire: flock.sire, dam: flock.dam });
  if (!checked.ok) throw new Error("the random-mating pedigree has faults");
  const sorted = performance.now();
  const kin = inbreeding(checked.pedigree);
  const traced = performance.now();
  const own = Int32Array.from({ length: animals }, (_, i) => i);
  const answer = iterativeBreedingValues(
    {
      y: flock.y,
      fixed: [new Float64Array(animals).fill(1), flock.male],
      pedigree: checked.pedigree,
      animal: indexDesign(own, animals),
      others: [{ name: "herd", design: indexDesign(flock.herd, HERDS) }],
    },
    Float64Array.of(0.3, 0.25, 0.7),
    { kin },
  );
  const solved = performance.now();
  if (answer.verdict !== "converged") throw new Error(answer.detail);
  const reference = REFERENCE_SECONDS.get(animals);
  return (
    `breeding values of ${animals} animals: ${seconds(start, solved)} s ` +
    `(checks ${seconds(start, sorted)}, inbreeding ${seconds(sorted, traced)}, ` +
    `${answer.iterations} iterations ${seconds(traced, solved)})` +
    (reference === undefined ? "" : `; reference, inbreeding ignored, ${reference} s`) +
    peakMemory()
  );
}

function variancesLine(animals: number, perAnimal: number): string {
  const flock = randomMatingFlock(animals);
  const checked = pedigree({ sire: flock.sire, dam: flock.dam });
  if (!checked.ok) throw new Error("the random-mating pedigree has faults");
  const random = new Random(1);
  const records = animals * perAnimal;
  const animal = Int32Array.from({ length: records }, (_, r) => Math.floor(r / perAnimal));
  const pen = Int32Array.from({ length: records }, () => random.integer(HERDS));
  const permanent = Float64Array.from({ length: animals }, () => Math.sqrt(0.2) * random.normal());
  const place = Float64Array.from({ length: HERDS }, () => 0.4 * random.normal());
  const slope = Float64Array.from({ length: records }, () => random.uniform());
  // The flock's own records hold its breeding values: what is added makes ten of each.
  const y = Float64Array.from(
    animal,
    (a, r) => flock.y[a] + permanent[a] + slope[r] + place[pen[r]] + Math.sqrt(0.6) * random.normal(),
  );
  const start = performance.now();
  const model = animalModel({
    y,
    fixed: [new Float64Array(records).fill(1), Float64Array.from(animal, (a) => flock.male[a]), slope],
    pedigree: checked.pedigree,
    animal: indexDesign(animal, animals),
    others: [
      { name: "permanent", design: indexDesign(animal, animals) },
      { name: "pen", design: indexDesign(pen, HERDS) },
    ],
  });
  if ("verdict" in model) throw new Error(model.detail);
  const built = performance.now();
  const fit = fitAnimalModel(model);
  const fitted = performance.now();
  if ("trouble" in fit) throw new Error(fit.detail);
  return (
    `variances of ${animals} animals, ${records} records: ${seconds(start, fitted)} s ` +
    `(equations ${seconds(start, built)}), nnz(L) ${model.gaussian.symbolic.nonzeros}, ` +
    `${fit.search.evaluations} evaluations, ${fit.verdict}${peakMemory()}`
  );
}

function seconds(from: number, to: number): string {
  return ((to - from) / 1000).toFixed(2);
}

/** Largest resident memory of the process so far, where the system tells. */
function peakMemory(): string {
  try {
    const found = /VmHWM:\s+(\d+)/.exec(readFileSync("/proc/self/status", "utf8"));
    return found === null ? "" : `; peak memory ${Math.round(Number(found[1]) / 1024)} MB`;
  } catch {
    return "";
  }
}
