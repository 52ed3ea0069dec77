import { associationCoverage } from "./association.ts";
import { growthCoverage } from "./growth.ts";
import { pedigreeCoverage } from "./pedigree.ts";

/**
 * `npm run coverage [-- --quick] [WORD …]`: do the intervals hold the truth, on simulated flocks whose truth is
 * known? 200 flocks of each kind with --quick, else 1,000; a word picks the simulations whose name holds it.
 */
const quick = process.argv.includes("--quick");
const words = process.argv.slice(2).filter((word) => !word.startsWith("--"));
const flocks = quick ? 200 : 1000;
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

const simulations: Readonly<Record<string, () => readonly Row[] | Promise<readonly Row[]>>> = {
  pedigree: () => pedigreeCoverage(quick),
  association: () => associationCoverage(quick),
  "growth, 8 goats": () => growthOf(8),
  "growth, 20 goats": () => growthOf(20),
  "growth, 60 goats": () => growthOf(60),
  "growth, 200 goats": () => growthOf(200),
};

function growthOf(goats: number): Promise<readonly Row[]> {
  const options = { goats, days: 540, detail: "study" } as const;
  return growthCoverage({ name: `${goats} goats`, flocks, options }, 1, bounds);
}

for (const [name, simulate] of Object.entries(simulations)) {
  if (words.length > 0 && !words.some((word) => name.includes(word))) continue;
  console.log(`\n${name}`);
  for (const row of await simulate()) {
    const range = `${row.lo.toFixed(3)} to ${row.hi.toFixed(3)}`;
    console.log(
      `${row.passes ? "within " : "OUTSIDE"}  ${row.what}: ${row.got.toFixed(3)} (${range}), ${row.flocks} flocks`,
    );
    if (!row.passes) process.exitCode = 1;
  }
}
