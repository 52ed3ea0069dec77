import { readFileSync } from "node:fs";
import advisories from "./advisories.json" with { type: "json" };

/** One package of a lock file, as it would be installed. */
export interface LockedPackage {
  readonly name: string;
  readonly version: string;
  readonly dev: boolean;
  /** What the installer holds the bytes against; none where it would take any. */
  readonly integrity?: string;
  /** Versions of Node that it says it runs on. */
  readonly node?: string;
  readonly hasInstallScript: boolean;
}

/** Every package of a lock file (lockfileVersion 3). */
export function lockedPackages(lock: URL): readonly LockedPackage[] {
  const { packages } = JSON.parse(readFileSync(lock, "utf8")) as {
    readonly packages: Readonly<
      Record<
        string,
        {
          readonly version: string;
          readonly dev?: boolean;
          readonly integrity?: string;
          readonly engines?: { readonly node?: string };
          readonly hasInstallScript?: boolean;
        }
      >
    >;
  };
  return Object.entries(packages)
    .filter(([place]) => place !== "")
    .map(([place, { version, dev, integrity, engines, hasInstallScript }]) => ({
      name: place.replace(/^.*node_modules\//, ""),
      version,
      dev: dev === true,
      ...(integrity === undefined ? {} : { integrity }),
      ...(engines?.node === undefined ? {} : { node: engines.node }),
      hasInstallScript: hasInstallScript === true,
    }));
}

/** The advisories on file that a package falls under, as `id package version`. */
export function knownFaults(packages: readonly Pick<LockedPackage, "name" | "version">[]): readonly string[] {
  return packages.flatMap(({ name, version }) =>
    advisories.advisories
      .filter((one) => one.package === name && !isMended(version, one.mendedIn))
      .map(({ id }) => `${id} ${name} ${version}`),
  );
}

/**
 * Whether a range of Node's versions, as packages write it, admits a version: alternatives of one comparison
 * each. Throws on a form that it does not know.
 */
export function admits(range: string, version: string): boolean {
  return range.split("||").some((alternative) => {
    const found = /^\s*(>=|>|\^|~|)\s*v?(\*|\d+(?:\.\d+|\.[x*])*)\s*$/.exec(alternative);
    if (found === null) throw new Error(`a range of another form: ${range}`);
    const [, comparison, least] = found as unknown as [string, string, string];
    if (least === "*") return true;
    const from = least.replace(/\.[x*]/g, "");
    if (isBefore(version, from)) return false;
    if (comparison === ">") return version !== from;
    return comparison === ">=" || version.split(".")[0] === from.split(".")[0];
  });
}

/** Mended from one version on in each major line that was mended, and in all after the last. */
function isMended(version: string, mendedIn: readonly string[]): boolean {
  return mendedIn.some(
    (one) =>
      !isBefore(version, one) && (one === mendedIn.at(-1) || version.split(".")[0] === one.split(".")[0]),
  );
}

function isBefore(version: string, other: string): boolean {
  const [ours, theirs] = [version, other].map((text) => text.split(/[.-]/).map(Number));
  for (let i = 0; i < 3; i++) {
    const [a, b] = [ours![i] || 0, theirs![i] || 0];
    if (a !== b) return a < b;
  }
  return false;
}
