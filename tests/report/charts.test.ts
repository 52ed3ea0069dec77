import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { describe, expect, test } from "vitest";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import { axisEnds, axisFormat, ratioEnds, ratioTicks } from "../../src/report/charts/axis-ends.ts";
import { chartSpec } from "../../src/report/charts/chart.ts";
import { wrapLabel } from "../../src/report/charts/wrap-label.ts";
import { columnWidth, narrowWidth } from "../../src/report/design/tokens.ts";
import { chartSamples } from "./chart-samples.ts";
import { schemaFaults } from "./schema-check.ts";

const require = createRequire(import.meta.url);
const schema = JSON.parse(readFileSync(require.resolve("vega-lite/vega-lite-schema.json"), "utf8"));

describe.each(Object.entries(chartSamples))("chart of %s", (_, chart) => {
  test("keeps the Vega-Lite schema", () => {
    expect(schemaFaults(schema, chartSpec(chart))).toEqual([]);
  });

  test("draws at the width of the column and of a phone, its words and numbers finite", async () => {
    const draw = chartDrawer();
    for (const [size, width] of [
      ["wide", columnWidth],
      ["narrow", narrowWidth],
    ] as const) {
      const svg = await draw(chart, size);
      expect(svg).toMatch(
        new RegExp(`^<svg role="graphics-document" viewBox="0 0 ${width} \\d+" width="${width}"`),
      );
      expect(svg).not.toMatch(/NaN|undefined|Infinity/);
      expect(svg).toContain("<title>");
    }
  });

  test("needs nothing of the page: no style of its own, no script, no reference, no id", async () => {
    const svg = await chartDrawer()(chart, "wide");
    expect(svg).not.toMatch(/ style=|<style|<script|href=|url\(| id=|<image/);
    // a mark that a screen reader stops at has words
    for (const [mark] of svg.matchAll(/<(\w+) [^>]*role="graphics-symbol"[^>]*>(?:<title>)?/g)) {
      expect(mark).toMatch(/aria-label="[^"]+"|<title>$/);
    }
  });
});

test("the check against the schema finds what breaks it", () => {
  const spec = chartSpec(chartSamples.intervals!) as unknown as { layer: { mark: { type: string } }[] };
  const bent = structuredClone(spec);
  bent.layer[0]!.mark.type = "blob";
  expect(schemaFaults(schema, bent)).not.toEqual([]);
  expect(schemaFaults(schema, { ...spec, colour: "red" })).not.toEqual([]);
});

describe("drawing", () => {
  test("the same chart gives the same picture, whatever was drawn before on the same view", async () => {
    const shared = chartDrawer();
    for (const chart of Object.values(chartSamples)) {
      await shared(chart, "narrow");
      await shared(chart, "wide");
    }
    for (const [name, chart] of Object.entries(chartSamples)) {
      expect(await chartDrawer()(chart, "wide"), name).toBe(await shared(chart, "wide"));
    }
  });

  test("charts asked for at once do not mix", async () => {
    const draw = chartDrawer();
    const { intervals, shares } = chartSamples;
    const [first, second] = await Promise.all([draw(intervals!, "wide"), draw(shares!, "wide")]);
    expect(first).toBe(await chartDrawer()(intervals!, "wide"));
    expect(second).toBe(await chartDrawer()(shares!, "wide"));
  });

  test("markup in a title is text, and each mark with words has them as its title", async () => {
    const svg = await chartDrawer()(chartSamples.intervals!, "wide");
    expect(svg).toContain("<title>Growth &lt;by&gt; line &amp; pen</title>");
    expect(svg).toContain("<title>Elder: 3.4 (3.1 to 3.7)</title></path>");
    expect(svg).toContain("Too few animals to tell (3; 5 needed)");
  });
});

describe("axes", () => {
  // by hand: steps of 1, 2 or 5 times a power of ten
  test("end on round numbers that hold all values", () => {
    expect(axisEnds([3.1, 3.9])).toEqual({ from: 3, to: 4, step: 0.2 });
    expect(axisEnds([0, 0.47])).toEqual({ from: 0, to: 0.5, step: 0.1 });
    expect(axisEnds([-3, 17])).toEqual({ from: -5, to: 20, step: 5 });
    expect(axisEnds([7])).toMatchObject({ from: 6, to: 8 });
    expect(axisEnds([null, Number.NaN])).toEqual({ from: 0, to: 1, step: 0.5 });
  });

  test("of ratios reach as far below one as above", () => {
    expect(ratioEnds([1.2, 0.9])).toEqual([0.5, 2]);
    expect(ratioEnds([0.15])).toEqual([0.1, 10]);
    expect(ratioTicks([0.2, 5])).toEqual([0.2, 0.5, 1, 2, 5]);
  });

  test("show as many decimals as their steps need", () => {
    expect(axisFormat([0, 100], false, false)).toBe(".0f");
    expect(axisFormat([3, 4], false, false)).toBe(".1f");
    expect(axisFormat([0, 0.5], true, false)).toBe(".0%");
    expect(axisFormat([0, 0.02], true, false)).toBe(".1%");
  });
});

test("long labels break between words into two lines, a longer rest is cut", () => {
  expect(wrapLabel("pasture", 10)).toEqual(["pasture"]);
  expect(wrapLabel("contagious ovine digital dermatitis-like", 24)).toEqual([
    "contagious ovine digital",
    "dermatitis-like",
  ]);
  expect(wrapLabel("one two three four", 8)).toEqual(["one two", "three f…"]);
});
