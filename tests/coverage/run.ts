import type { FlockOptions } from "../../src/demo/flock-options.ts";
import { associationCoverage, associationScenarios } from "./association.ts";
import { associationBookCoverage } from "./association-book.ts";
import { growthCoverage } from "./growth.ts";
import { lamenessCoverage } from "./lameness.ts";
import { nextCheckCalibration } from "./next-check.ts";
import { pedigreeCoverage } from "./pedigree.ts";
import { liabilityCoverage } from "./pedigree-lameness.ts";
import { retrimCoverage } from "./retrim.ts";

/**
 * `npm run coverage [-- --quick] [--flocks=N] [WORD …]`: do the intervals hold the truth, on simulated flocks whose
 * truth is known? 200 flocks of each kind with --quick, else 1,000, or as many as said where the flock is the unit; a
 * word picks the simulations whose name holds it.
 */
const quick = process.argv.includes("--quick");
const words = process.argv.slice(2).filter((word) => !word.startsWith("--"));
const asked = process.argv.find((word) => word.startsWith("--flocks="));
const flocks = asked === undefined ? (quick ? 200 : 1000) : Number(asked.slice("--flocks=".length));
/** The share of 95 % intervals that hold the truth: an exact method passes 99 times in 100. */
const bounds = quick ? { lo: 0.905, hi: 0.985 } : { lo: 0.93, hi: 0.97 };

interface Row {
  readonly what: string;
  readonly flocks: number;
  readonly got: number;
  readonly lo: number;
  readonly hi: number;
  readonly passes: boolean;
}

/** Marks of the ruler that the invented flocks are read with. */
const SIXTEENTH_INCH_MM = 25.4 / 16;

const simulations: Readonly<Record<string, () => readonly Row[] | Promise<readonly Row[]>>> = {
  pedigree: () => pedigreeCoverage(quick, flocks),
  "pedigree, lameness": () => liabilityCoverage(quick, flocks),
  ...Object.fromEntries(
    associationScenarios.map((scenario) => [
      `association, ${scenario.name}`,
      async () => associationCoverage(scenario, flocks, quick),
    ]),
  ),
  "association from sheets, effects": () => associationFromSheets({ detail: "study" }),
  "association from sheets, none": () => associationFromSheets({ detail: "study", effects: "none" }),
  "association from sheets, farm": () => associationFromSheets({ detail: "farm" }),
  "growth, 8 goats": () => growthOf(8),
  "growth, 20 goats": () => growthOf(20),
  "growth, 60 goats": () => growthOf(60),
  "growth, 200 goats": () => growthOf(200),
  ...ofSizes("lameness", [20, 60, 200], lamenessOf),
  ...ofSizes("retrim", [20, 60, 200], (goats) => retrimOf(goats, SIXTEENTH_INCH_MM)),
  ...ofSizes("retrim read without steps", [60], (goats) => retrimOf(goats, 0)),
  ...ofSizes("next check", [20, 60, 200], nextCheckOf),
};

type Simulation = () => Promise<readonly Row[]>;

/** A simulation for each size of flock: `retrim, 60 goats`. */
function ofSizes(
  name: string,
  sizes: readonly number[],
  simulate: (goats: number) => Promise<readonly Row[]>,
): Readonly<Record<string, Simulation>> {
  return Object.fromEntries(sizes.map((goats) => [`${name}, ${goats} goats`, () => simulate(goats)]));
}

function associationFromSheets(of: Omit<FlockOptions, "seed">): Promise<readonly Row[]> {
  const name = `${of.detail} sheets${of.effects === "none" ? ", no effect" : ""}`;
  const options: Omit<FlockOptions, "seed"> = {
    ...of,
    goats: 90,
    days: 540,
    growth: { penMonthCorrelation: 0.5 },
    lameness: { penMonthCorrelation: 0.5 },
  };
  return associationBookCoverage({ name, flocks, options }, 1, bounds);
}

function growthOf(goats: number): Promise<readonly Row[]> {
  const options = { goats, days: 540, detail: "study" } as const;
  return growthCoverage({ name: `${goats} goats`, flocks, options }, 1, bounds);
}

function lamenessOf(goats: number): Promise<readonly Row[]> {
  const options = { goats, days: 540, detail: "study" } as const;
  return lamenessCoverage({ name: `${goats} goats`, flocks, options }, 1, bounds);
}

function retrimOf(goats: number, stepMm: number): Promise<readonly Row[]> {
  const options = { goats, days: 540, detail: "study", visitEveryDays: 42, ruler: { stepMm } } as const;
  return retrimCoverage({ name: `${goats} goats`, flocks, options }, 1, bounds);
}

function nextCheckOf(goats: number): Promise<readonly Row[]> {
  const options = { goats, days: 480, detail: "study" } as const;
  return nextCheckCalibration({ name: `${goats} goats`, flocks, options }, 1);
}

for (const [name, simulate] of Object.entries(simulations)) {
  if (words.length > 0 && !words.some((word) => name.includes(word))) continue;
  console.log(`\n${name}`);
  for (const row of await simulate()) {
    const range = `${row.lo.toFixed(3)} to ${row.hi.toFixed(3)}`;
    // The bounds are those of 200 flocks: fewer cannot fail them.
    const verdict = row.flocks < 200 ? "few    " : row.passes ? "within " : "OUTSIDE";
    console.log(`${verdict}  ${row.what}: ${row.got.toFixed(3)} (${range}), ${row.flocks} flocks`);
    if (verdict === "OUTSIDE") process.exitCode = 1;
  }
}
