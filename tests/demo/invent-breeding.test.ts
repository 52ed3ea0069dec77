import { expect, test } from "vitest";
import { flockCalendar } from "../../src/demo/flock-calendar.ts";
import { flockPlan } from "../../src/demo/flock-options.ts";
import { inventAnimals } from "../../src/demo/invent-animals.ts";
import { inventBreeding } from "../../src/demo/invent-breeding.ts";
import { inbreeding } from "../../src/statistics/pedigree/inbreeding.ts";
import { pedigree } from "../../src/statistics/pedigree/pedigree.ts";
import { Random } from "../../src/statistics/random.ts";

const plan = flockPlan({ seed: 1, goats: 3000, lines: 5 });
const calendar = flockCalendar(plan.start, plan.days);
const animals = inventAnimals(new Random(1), plan, calendar);

test("the pedigree holds together: sexes, ages, no loops, three generations", () => {
  const checked = pedigree({
    sire: animals.map((animal) => animal.sire),
    dam: animals.map((animal) => animal.dam),
    sex: animals.map((animal) => (animal.sex === "female" ? "female" : "male")),
    birth: animals.map((animal) => animal.born),
  });
  expect(checked.ok).toBe(true);
  if (!checked.ok) return;
  expect(Math.max(...checked.pedigree.generation)).toBeGreaterThanOrEqual(3);
  for (const animal of animals) {
    if (animal.sire < 0) continue;
    expect(animals[animal.sire].line).toBe(animal.line);
    expect(animals[animal.sire].sex).toBe("male");
  }
});

test("breeding values halve down the pedigree and keep a Mendelian part", () => {
  const VA = 2;
  const { values } = inventBreeding(new Random(2), animals, plan.lines, VA, 0);
  const checked = pedigree({ sire: animals.map((a) => a.sire), dam: animals.map((a) => a.dam) });
  if (!checked.ok) throw new Error("no pedigree");
  const F = inbreeding(checked.pedigree).coefficient;
  const bothKnown = animals.flatMap((a, i) => (a.sire >= 0 && a.dam >= 0 ? [{ ...a, i }] : []));
  // Kid minus mid-parent has mean 0 and variance VA·(1/2 − (F of sire + F of dam)/4): Henderson 1976, Biometrics 32:69.
  const z = bothKnown.map(({ i, sire, dam }) => {
    const mendelian = VA * (0.5 - (F[sire] + F[dam]) / 4);
    return (values[i] - (values[sire] + values[dam]) / 2) / Math.sqrt(mendelian);
  });
  const mean = z.reduce((sum, x) => sum + x, 0) / z.length;
  const variance = z.reduce((sum, x) => sum + x * x, 0) / z.length;
  expect(z.length).toBeGreaterThan(2000);
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(z.length));
  expect(Math.abs(variance - 1)).toBeLessThan(4 * Math.sqrt(2 / z.length));
});

test("lines differ by their founder sires", () => {
  const { lineEffects, values } = inventBreeding(new Random(3), animals, plan.lines, 0, 1);
  animals.forEach((animal, i) => {
    if (animal.sire < 0 && animal.line >= 0) expect(values[i]).toBe(lineEffects[animal.line]);
    if (animal.sire < 0 && animal.line < 0) expect(values[i]).toBe(0);
  });
});
