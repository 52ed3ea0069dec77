import { pedigreeCoverage } from "./pedigree.ts";

/** `npm run coverage [-- --quick]`: do the intervals hold the truth, on simulated flocks whose truth is known? */
const quick = process.argv.includes("--quick");
for (const { what, flocks, got, lo, hi, passes } of pedigreeCoverage(quick)) {
  console.log(
    `${passes ? "within " : "OUTSIDE"}  ${what}: ${got.toFixed(3)} (${lo.toFixed(3)} to ${hi.toFixed(3)}), ${flocks} flocks`,
  );
  if (!passes) process.exitCode = 1;
}
