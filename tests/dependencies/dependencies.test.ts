import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { isPermissive, runtimePackages } from "./licences.ts";
import { admits, knownFaults, lockedPackages } from "./locked-packages.ts";

const root = new URL("../../", import.meta.url);
const manifest: Readonly<Record<"dependencies" | "devDependencies" | "engines", Record<string, string>>> =
  JSON.parse(readFileSync(new URL("package.json", root), "utf8"));
const oldest = `${manifest.engines.node!.replace(">=", "")}.0`;

describe("packages the program runs on", () => {
  const packages = runtimePackages(root);

  test("ask for no more than their notice", () => {
    expect(packages.length).toBeGreaterThan(Object.keys(manifest.dependencies).length);
    const refused = packages.filter(({ licence }) => licence === null || !isPermissive(licence));
    expect(refused).toEqual([]);
  });

  test("need no script at install but the one of esbuild, which only checks its binary", () => {
    const scripts = packages.filter(({ hasInstallScript }) => hasInstallScript);
    expect(scripts.map(({ name }) => name)).toEqual(["esbuild"]);
  });

  test("are fixed to one version each", () => {
    for (const [name, version] of Object.entries({ ...manifest.dependencies, ...manifest.devDependencies }))
      expect(version, name).toMatch(/^\d+\.\d+\.\d+(-[\w.]+)?$/);
  });

  test("each have their reason written down", () => {
    const reasons = readFileSync(new URL("DEVELOPERS.md", root), "utf8");
    for (const name of Object.keys(manifest.dependencies))
      expect(
        reasons.includes(name) ||
          (name.startsWith("@stdlib/stats-base-dists-") && reasons.includes("@stdlib/")) ||
          reasons.toLowerCase().includes(name),
        name,
      ).toBe(true);
  });
});

describe.each(["package-lock.json", "tests/mutation/package-lock.json"])("every package of %s", (lock) => {
  const packages = lockedPackages(new URL(lock, root));

  test("is held against the digest of its bytes", () => {
    const loose = packages.filter(({ integrity }) => !integrity?.startsWith("sha512-"));
    expect(packages.length).toBeGreaterThan(0);
    expect(loose.map(({ name }) => name)).toEqual([]);
  });

  test("runs no script at install, apart from esbuild", () => {
    const scripts = packages.filter(({ hasInstallScript }) => hasInstallScript);
    expect(scripts.map(({ name }) => name).filter((name) => name !== "esbuild")).toEqual([]);
  });

  test("is past every fault on file", () => {
    expect(knownFaults(packages)).toEqual([]);
  });

  test("admits the oldest Node that is promised", () => {
    const refusing = packages.filter(({ node }) => node !== undefined && !admits(node, oldest));
    expect(refusing.map(({ name, node }) => `${name} ${node}`)).toEqual([]);
  });
});

describe("faults on file", () => {
  test("are found below the version that mends them, and not from it on", () => {
    expect(knownFaults([{ name: "vega", version: "6.1.9" }])).toEqual(["GHSA-7f2v-3qq3-vvjf vega 6.1.9"]);
    expect(knownFaults([{ name: "vega", version: "6.2.0" }])).toEqual([]);
    expect(knownFaults([{ name: "vega", version: "6.10.0" }])).toEqual([]);
    // mended in three lines: 5.7.2, 6.3.1 and 7.5.2
    const semver = ["5.7.2", "6.3.0", "6.3.1", "7.5.1", "8.0.0"].map((version) => ({
      name: "semver",
      version,
    }));
    expect(knownFaults(semver).map((one) => one.split(" ")[2])).toEqual(["6.3.0", "7.5.1"]);
  });
});

// node-semver's grammar: ^ stays within the major version, alternatives are split by ||
describe("a range of Node's versions", () => {
  test.each([
    [">=12", true],
    [">=20.12", false],
    ["^18 || >=20", true],
    ["^20.19.0 || >=22.12.0", false],
    ["^20.9.0", true],
    ["^18.0.0", false],
    ["18 || 20", true],
    ["*", true],
  ])("%s admits 20.11.0: %s", (range, expected) => {
    expect(admits(range, "20.11.0")).toBe(expected);
  });
});

describe("an SPDX expression", () => {
  test.each([
    ["MIT", true],
    ["Apache-2.0 AND BSL-1.0", true],
    ["(MIT OR GPL-3.0-only)", true],
    ["(MIT AND GPL-3.0-only)", false],
    ["GPL-3.0-or-later", false],
    ["LGPL-2.1", false],
    ["SEE LICENSE IN LICENSE", false],
    ["UNLICENSED", false],
  ])("%s: permissive %s", (expression, expected) => {
    expect(isPermissive(expression)).toBe(expected);
  });
});
