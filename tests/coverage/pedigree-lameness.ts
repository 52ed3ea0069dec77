import { fitLogisticAnimalModel } from "../../src/statistics/pedigree/fit-logistic-animal-model.ts";
import { liabilityBootstrap } from "../../src/statistics/pedigree/liability-bootstrap.ts";
import {
  averageOverLiabilityVariances,
  liabilityValues,
} from "../../src/statistics/pedigree/liability-values.ts";
import {
  additiveVarianceShows,
  liabilityVariance,
  unbiasedVariances,
} from "../../src/statistics/pedigree/liability-variance.ts";
import { logisticAnimalModel } from "../../src/statistics/pedigree/logistic-animal-model.ts";
import { Random } from "../../src/statistics/random.ts";
import { type FlockPlan, flockScores, simulatedFlock } from "./pedigree-flock.ts";
import { Held, mean, type PedigreeCoverageRow, row, standardError } from "./pedigree-held.ts";

const SEED = 20_240_917;

const SCORED: FlockPlan = {
  generations: [40, 70, 70],
  siresPerGeneration: 8,
  lines: 5,
  recordsPerAnimal: 5,
  pens: 6,
  variances: { animal: 0.5, line: 0.09, permanent: 0, pen: 0.1, residual: 0 },
};

/** Lameness on the log odds, so many flocks: bias before and after its removal, intervals, values and lines. */
export function liabilityCoverage(quick: boolean, flocks: number): PedigreeCoverageRow[] {
  const plan = SCORED;
  const truth = plan.variances.animal;
  const fitted: number[] = [];
  const unbiased: number[] = [];
  const limits: number[] = [];
  const held = new Held("lameness, 180 goats", quick);
  for (let f = 0; f < flocks; f++) {
    const random = new Random(SEED).substream(90_000 + f);
    const flock = simulatedFlock(plan, random);
    const model = logisticAnimalModel(flockScores(flock, plan, random));
    if ("verdict" in model) continue;
    const fit = fitLogisticAnimalModel(model);
    if ("trouble" in fit) continue;
    const bootstrap = liabilityBootstrap(model, fit, { seed: SEED + f });
    const { estimate, lo, hi } = liabilityVariance(model, fit, bootstrap);
    fitted.push(fit.variances[0]);
    unbiased.push(estimate);
    limits.push(Number(truth >= lo && truth <= hi));
    const variances = unbiasedVariances(fit, bootstrap);
    const average = averageOverLiabilityVariances(model, fit, variances, { seed: SEED + f });
    const shows = additiveVarianceShows(model, fit);
    held.note(
      flock,
      plan,
      model,
      average,
      shows ? (base) => liabilityValues(model, variances, base).reliability : null,
    );
  }
  const allowed = Math.max(0.1 * truth, 2 * standardError(unbiased));
  const band = 0.005 + 2.6 * Math.sqrt((0.95 * 0.05) / limits.length);
  return [
    row("liability variance as fitted (no bound)", fitted.length, mean(fitted), 0, Number.POSITIVE_INFINITY),
    row(
      "liability variance, bias removed",
      unbiased.length,
      mean(unbiased),
      truth - allowed,
      truth + allowed,
    ),
    row("95 % intervals of the liability variance", limits.length, mean(limits), 0.95 - band, 0.95 + band),
    ...held.rows(),
  ];
}
