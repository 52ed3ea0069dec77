import { Random } from "../../statistics/random.ts";
import { twoSampleTPower } from "../../statistics/two-sample-t-power.ts";
import { armDifference } from "../arm-difference.ts";
import { drawGrowthStudy, type GrowthSpread, growthUnitVariance } from "./growth-study.ts";
import { drawLameStudy, type LameSpread, lameShare, lameUnitVariance } from "./lame-study.ts";
import { type DrawnStudy, type StudyDesign, studyDf, unitsOfArms } from "./study-design.ts";

/** What is studied, with the variances that it has in this flock. Effects: mm per 30 days, or the log of odds. */
export type StudyOutcome =
  | { readonly outcome: "growth"; readonly spread: GrowthSpread }
  | { readonly outcome: "lame"; readonly spread: LameSpread };

/** Share of simulated studies whose limits leave out zero, with its simulation error. */
export interface SimulatedPower {
  readonly power: number;
  readonly standardError: number;
}

/** Draws the studies of one design once; each effect is then tried on the same ones. */
export function drawStudies(
  design: StudyDesign,
  of: StudyOutcome,
  simulations: number,
  seed: number,
): readonly DrawnStudy[] {
  const random = new Random(seed);
  return Array.from({ length: simulations }, (_, k) =>
    of.outcome === "growth"
      ? drawGrowthStudy(design, of.spread, random.substream(k))
      : drawLameStudy(design, of.spread, random.substream(k)),
  );
}

/** Power at one effect: every study is told as `trial_effect` tells a study that was done. */
export function simulatedPower(studies: readonly DrawnStudy[], effect: number): SimulatedPower {
  let seen = 0;
  for (const { first, second, blocks } of studies) {
    const found = armDifference(
      { values: first(effect), blocks: blocks[0] },
      { values: second, blocks: blocks[1] },
    );
    if (found !== undefined && (found.lo > 0 || found.hi < 0)) seen++;
  }
  const power = seen / studies.length;
  return { power, standardError: Math.sqrt((power * (1 - power)) / studies.length) };
}

/** Largest effect that is looked at: mm per 30 days, and log odds. */
const LARGEST: Readonly<Record<StudyOutcome["outcome"], number>> = { growth: 20, lame: Math.log(50) };
const BISECTIONS = 14;

/** The smallest effect, on the side of `towards`, that the studies show with the power wanted; null where none does. */
export function smallestEffect(
  studies: readonly DrawnStudy[],
  outcome: StudyOutcome["outcome"],
  towards: number,
  wanted: number,
): number | null {
  const side = towards < 0 ? -1 : 1;
  let shown = LARGEST[outcome];
  if (simulatedPower(studies, side * shown).power < wanted) return null;
  let hidden = 0;
  for (let k = 0; k < BISECTIONS; k++) {
    const middle = (hidden + shown) / 2;
    if (simulatedPower(studies, side * middle).power >= wanted) shown = middle;
    else hidden = middle;
  }
  return side * shown;
}

/**
 * Power by the textbook: units alike and independent, their values normal, the variance of a goat's mean spread by the
 * design effect n·V(n)/V(1) = 1 + (n − 1)ρ (Donner & Klar 2000, Design and Analysis of Cluster Randomization Trials),
 * in the exact noncentral t; goats are compared within their pens. undefined where the units leave no degree of freedom.
 */
export function formulaPower(design: StudyDesign, of: StudyOutcome, effect: number): number | undefined {
  const [first, second] = comparedUnits(design);
  const goats = design.unit === "pen" ? design.goatsPerPen : 1;
  const [treated, untreated] = [unitVariance(design, of, goats, effect), unitVariance(design, of, goats, 0)];
  // the pooled variance stands for both arms: what matters is that of the difference
  const pooled = (treated / first + untreated / second) / (1 / first + 1 / second);
  return twoSampleTPower(expectedDifference(of, effect), Math.sqrt(pooled), first, second, studyDf(design));
}

/** Units of either arm; within pens as many as tell as much in pens whose goats are halved evenly. */
function comparedUnits(design: StudyDesign): readonly [number, number] {
  if (design.unit === "pen") return unitsOfArms(design);
  const { pens, goatsPerPen } = design;
  const even = (2 * pens * Math.ceil(goatsPerPen / 2) * Math.floor(goatsPerPen / 2)) / goatsPerPen;
  return [even, even];
}

/** By how much more a pen's mean varies than that of as many goats each in a pen of its own. */
export function designEffect(design: StudyDesign, of: StudyOutcome): number {
  if (design.unit === "animal") return 1;
  const { goatsPerPen } = design;
  return (goatsPerPen * unitVariance(design, of, goatsPerPen, 0)) / unitVariance(design, of, 1, 0);
}

function unitVariance(design: StudyDesign, of: StudyOutcome, goats: number, effect: number): number {
  return of.outcome === "growth"
    ? growthUnitVariance(design, of.spread, goats)
    : lameUnitVariance(design, of.spread, goats, effect);
}

function expectedDifference(of: StudyOutcome, effect: number): number {
  return of.outcome === "growth" ? effect : lameShare(of.spread, effect) - lameShare(of.spread, 0);
}
