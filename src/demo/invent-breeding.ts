import { inbreeding } from "../statistics/pedigree/inbreeding.ts";
import { pedigree } from "../statistics/pedigree/pedigree.ts";
import type { Random } from "../statistics/random.ts";
import type { DemoAnimal } from "./invent-animals.ts";

export interface Breeding {
  /** Each line's own part, handed on by its founder sire like the rest of his breeding value. */
  readonly lineEffects: Float64Array;
  /** Breeding value of each animal, its line's part included. */
  readonly values: Float64Array;
}

/**
 * Draws breeding values down the pedigree: founders from their line's mean (dams and bought goats from zero),
 * kids from the mean of their parents plus a Mendelian part whose variance falls with the parents' inbreeding
 * (Henderson 1976, Biometrics 32:69).
 */
export function inventBreeding(
  random: Random,
  animals: readonly DemoAnimal[],
  lines: number,
  additiveVariance: number,
  lineSd: number,
): Breeding {
  const checked = pedigree({ sire: animals.map((a) => a.sire), dam: animals.map((a) => a.dam) });
  if (!checked.ok) throw new Error("the invented pedigree does not hold together");
  const { mendelianVariance } = inbreeding(checked.pedigree);
  const lineEffects = Float64Array.from({ length: lines }, () => lineSd * random.normal());
  const values = new Float64Array(animals.length);
  for (const i of checked.pedigree.order) {
    const { sire, dam, line } = animals[i];
    const founderOfLine = sire < 0 && dam < 0 && line >= 0;
    const fromParents = ((sire < 0 ? 0 : values[sire]) + (dam < 0 ? 0 : values[dam])) / 2;
    const mendelian = Math.sqrt(additiveVariance * mendelianVariance[i]) * random.normal();
    values[i] = (founderOfLine ? lineEffects[line] : fromParents) + mendelian;
  }
  return { lineEffects, values };
}
