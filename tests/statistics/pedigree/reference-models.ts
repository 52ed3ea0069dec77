import {
  type AnimalModel,
  type AnimalModelInput,
  animalModel,
} from "../../../src/statistics/pedigree/animal-model.ts";
import type { FittedAnimalModel } from "../../../src/statistics/pedigree/fit-animal-model.ts";
import { fitAnimalModel } from "../../../src/statistics/pedigree/fit-animal-model.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { referenceFlock, referencePedigree, zeroBased } from "./reference-flocks.ts";

export function modelOf(input: AnimalModelInput): AnimalModel {
  const model = animalModel(input);
  if ("verdict" in model) throw new Error(`${model.trouble}: ${model.detail}`);
  return model;
}

export function fitOf(model: AnimalModel): FittedAnimalModel {
  const fit = fitAnimalModel(model);
  if ("trouble" in fit) throw new Error(`${fit.trouble}: ${fit.detail}`);
  return fit;
}

const HERDS = 8;

/** The models of tests/reference/pedigree.json. */
export function sim300Input(): AnimalModelInput {
  const { records } = referenceFlock("sim300");
  const flock = referencePedigree("sim300");
  return {
    y: records.y,
    fixed: [records.y.map(() => 1), records.sex],
    pedigree: flock,
    animal: indexDesign(zeroBased(records.animal), flock.size),
    others: [{ name: "herd", design: indexDesign(zeroBased(records.herd), HERDS) }],
  };
}

export function sim160Input(): AnimalModelInput {
  const { records } = referenceFlock("sim160");
  const flock = referencePedigree("sim160");
  const animal = zeroBased(records.animal);
  return {
    y: records.y,
    fixed: [records.y.map(() => 1), records.sex, records.parity.map((p) => Number(p > 1))],
    pedigree: flock,
    animal: indexDesign(animal, flock.size),
    others: [
      { name: "herd", design: indexDesign(zeroBased(records.herd), HERDS) },
      { name: "permanent", design: indexDesign(animal, flock.size) },
    ],
  };
}
