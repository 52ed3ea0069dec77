import { geneticVariances } from "../../src/findings/breeding/genetic-variances.ts";
import { type AnimalModel, animalModel } from "../../src/statistics/pedigree/animal-model.ts";
import { averageOverVariances } from "../../src/statistics/pedigree/average-over-variances.ts";
import { breedingValues } from "../../src/statistics/pedigree/breeding-values.ts";
import { type FittedAnimalModel, fitAnimalModel } from "../../src/statistics/pedigree/fit-animal-model.ts";
import { Random } from "../../src/statistics/random.ts";
import { type FlockPlan, flockInput, type SimulatedFlock, simulatedFlock } from "./pedigree-flock.ts";
import { correlation, Held, mean, type PedigreeCoverageRow, row, standardError } from "./pedigree-held.ts";

const SEED = 20_240_917;

const LARGE: FlockPlan = {
  generations: [100, 200, 200],
  siresPerGeneration: 12,
  lines: 1,
  recordsPerAnimal: 2,
  pens: 10,
  variances: { animal: 0.4, line: 0, permanent: 0.2, pen: 0.15, residual: 0.6 },
};

const SMALL: FlockPlan = {
  generations: [40, 40, 40],
  siresPerGeneration: 6,
  lines: 5,
  recordsPerAnimal: 3,
  pens: 6,
  variances: { animal: 0.4, line: 0.1, permanent: 0.2, pen: 0.1, residual: 0.6 },
};

/** Flocks of 120 goats in which something other than the variances differs. */
const REGIMES: Readonly<Record<string, Partial<FlockPlan>>> = {
  "overlapping generations": { overlapping: true },
  "two sires a generation": { siresPerGeneration: 2 },
  "one line eight times another": { firstLineOverLast: 8 },
  "nine records in ten in the line's own pen": { inLinePen: 0.9 },
  "half of the sires unknown": { sireUnknown: 0.5 },
  "half of the sires one of two": { sireOfTwo: 0.5 },
  "seven generations, two sires each": {
    generations: [16, 16, 16, 18, 18, 18, 18],
    siresPerGeneration: 2,
    lines: 4,
  },
  "hardly heritable": { variances: { ...SMALL.variances, animal: 0.03, line: 0.01 } },
  "highly heritable": { variances: { ...SMALL.variances, animal: 1.5, permanent: 0.05 } },
  "no pen and no permanent effects": { variances: { ...SMALL.variances, pen: 0, permanent: 0 } },
};

/** Standard deviations between lines that chances are checked at. */
const LINE_DEVIATIONS = [0.1, 0.3, 0.6];

/** Pedigrees with known truth and records of growth: so many flocks of every kind. */
export function pedigreeCoverage(quick: boolean, flocks: number): PedigreeCoverageRow[] {
  const small = { ...SMALL, generations: [20, 20, 20] };
  const three = { ...SMALL, generations: [60, 70, 70], lines: 3 };
  return [
    ...varianceRows(LARGE, flocks),
    ...LINE_DEVIATIONS.flatMap((deviation) => {
      const line = deviation ** 2;
      const named = (plan: FlockPlan): FlockPlan => ({ ...plan, variances: { ...plan.variances, line } });
      return [
        ...intervalRows(`60 goats, line sd ${deviation}`, named(small), flocks, quick),
        ...intervalRows(`120 goats, line sd ${deviation}`, named(SMALL), flocks, quick),
        ...intervalRows(`200 goats, 3 lines, line sd ${deviation}`, named(three), flocks, quick),
      ];
    }),
    ...Object.entries(REGIMES).flatMap(([name, differs]) =>
      intervalRows(name, { ...SMALL, ...differs }, flocks, quick),
    ),
  ];
}

/** Mean variances against the truth; reliability against the squared correlation with it. */
function varianceRows(plan: FlockPlan, flocks: number): PedigreeCoverageRow[] {
  const truth = [
    plan.variances.animal,
    plan.variances.permanent,
    plan.variances.pen,
    plan.variances.residual,
  ];
  const variances: number[][] = truth.map(() => []);
  const gap: number[] = [];
  for (let f = 0; f < flocks; f++) {
    const made = fittedFlock(plan, f);
    if (made === undefined) continue;
    made.fit.variances.forEach((v, k) => {
      variances[k].push(v);
    });
    const base = Array.from(made.flock.value, (_, i) => i);
    const { value, reliability } = breedingValues(made.model, made.fit.variances, base);
    if (made.fit.variances[0] > 0) {
      gap.push(mean(reliability) - correlation(value, made.flock.value) ** 2);
    }
  }
  const names = ["animal", "permanent", "pen", "residual"];
  return [
    ...truth.map((want, k) => {
      const allowed = Math.max(0.05 * want, 2 * standardError(variances[k]));
      return row(
        `mean variance, ${names[k]}`,
        variances[k].length,
        mean(variances[k]),
        want - allowed,
        want + allowed,
      );
    }),
    row("mean reliability less squared correlation", gap.length, mean(gap), -0.03, 0.03),
  ];
}

/** Intervals, reliabilities and chances of small flocks, as a flock's page tells them. */
function intervalRows(name: string, plan: FlockPlan, flocks: number, quick: boolean): PedigreeCoverageRow[] {
  const held = new Held(name, quick);
  const { animal, line, permanent, pen } = plan.variances;
  for (let f = 0; f < flocks; f++) {
    const made = fittedFlock(plan, 50_000 + f);
    const average =
      made === undefined
        ? undefined
        : averageOverVariances(made.model, made.fit.variances, { seed: SEED + f });
    if (made === undefined || average === undefined) continue;
    const { flock, model, fit } = made;
    const heritable = fit.variances[0] > 0;
    held.note(
      flock,
      plan,
      model,
      average,
      heritable ? (base) => breedingValues(model, fit.variances, base).reliability : null,
    );
    const told = {
      flock: name,
      trait: "growth" as const,
      names: model.names,
      variances: fit.variances,
      standardErrors: null,
      average,
      beside: 0,
      heritable,
    };
    held.noteHeritability(animal / (animal + line + permanent + pen), geneticVariances(told));
  }
  return held.rows();
}

interface FittedFlock {
  readonly flock: SimulatedFlock;
  readonly model: AnimalModel;
  readonly fit: FittedAnimalModel;
}

function fittedFlock(plan: FlockPlan, number: number): FittedFlock | undefined {
  const random = new Random(SEED).substream(number);
  const flock = simulatedFlock(plan, random);
  const model = animalModel(flockInput(flock, plan, random));
  if ("verdict" in model) return undefined;
  const fit = fitAnimalModel(model);
  return "trouble" in fit ? undefined : { flock, model, fit };
}
