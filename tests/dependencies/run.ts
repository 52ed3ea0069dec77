import { isPermissive, runtimePackages } from "./licences.ts";
import { knownFaults, lockedPackages } from "./locked-packages.ts";

/**
 * `npm run licences`: the licence of every package the program runs on; fails on unknown and copyleft ones, and
 * on any package of the lock file that falls under a fault on file.
 */
const packages = runtimePackages(new URL("../../", import.meta.url));
const refused = packages.filter(({ licence }) => licence === null || !isPermissive(licence));
for (const { name, version, licence } of packages)
  console.log(`${licence ?? "none named"}\t${name} ${version}`);
const scripts = packages.filter(({ hasInstallScript }) => hasInstallScript).map(({ name }) => name);
console.log(`${packages.length} packages; scripts at install: ${scripts.join(", ") || "none"}`);
if (refused.length > 0) {
  console.error(
    `Not allowed: ${refused.map(({ name, licence }) => `${name} (${licence ?? "none named"})`).join(", ")}`,
  );
  process.exitCode = 1;
}
const faults = knownFaults(lockedPackages(new URL("../../package-lock.json", import.meta.url)));
if (faults.length > 0) {
  console.error(`Known faults: ${faults.join(", ")}`);
  process.exitCode = 1;
}
