import { readFileSync } from "node:fs";

/** A package that is installed with the program, from the lock file, and the licence it names. */
export interface RuntimePackage {
  readonly name: string;
  readonly version: string;
  /** SPDX expression; null where the package names none. */
  readonly licence: string | null;
  readonly hasInstallScript: boolean;
}

interface LockedPackage {
  readonly version: string;
  readonly license?: string;
  readonly dev?: boolean;
  readonly hasInstallScript?: boolean;
}

/** Licences that ask for no more than their notice to be kept (SPDX identifiers). */
const permissive: ReadonlySet<string> = new Set([
  ...[
    "MIT",
    "ISC",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "0BSD",
    "BSL-1.0",
    "Unlicense",
    "CC0-1.0",
    "Zlib",
  ],
]);

/** Every package of the lock file that the program needs to run, those of development apart. */
export function runtimePackages(root: URL): readonly RuntimePackage[] {
  const lock: { readonly packages: Readonly<Record<string, LockedPackage>> } = JSON.parse(
    readFileSync(new URL("package-lock.json", root), "utf8"),
  );
  return Object.entries(lock.packages)
    .filter(([place, { dev }]) => place !== "" && dev !== true)
    .map(([place, locked]) => ({
      name: place.replace(/^.*node_modules\//, ""),
      version: locked.version,
      licence: locked.license ?? olderLicence(new URL(`${place}/package.json`, root)),
      hasInstallScript: locked.hasInstallScript === true,
    }));
}

/** Whether an SPDX expression allows the package to be used and passed on for its notice alone. */
export function isPermissive(expression: string): boolean {
  return expression
    .replace(/[()]/g, " ")
    .split(/\s+OR\s+/)
    .some((choice) =>
      choice
        .trim()
        .split(/\s+AND\s+/)
        .every((licence) => permissive.has(licence.trim())),
    );
}

/** Packages from before SPDX list their licences as objects. */
function olderLicence(manifest: URL): string | null {
  try {
    const { licenses } = JSON.parse(readFileSync(manifest, "utf8")) as { licenses?: { type?: string }[] };
    const types = (licenses ?? []).map(({ type }) => type ?? "?");
    return types.length === 0 ? null : types.join(" AND ");
  } catch {
    return null;
  }
}
