import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { isPermissive, runtimePackages } from "./licences.ts";

const root = new URL("../../", import.meta.url);
const manifest: Readonly<Record<"dependencies" | "devDependencies", Record<string, string>>> = JSON.parse(
  readFileSync(new URL("package.json", root), "utf8"),
);

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
