import { expect, test } from "vitest";
import { associationTable } from "../../src/findings/association/association-tables.ts";
import { betweenFlocksTable } from "../../src/findings/between-flocks.ts";
import { coverageTable } from "../../src/findings/coverage.ts";
import { type FlockDifferenceRow, flockDifferenceTable } from "../../src/findings/flock-differences.ts";
import { growthSummaryTable } from "../../src/findings/growth-summary.ts";
import { lamenessTable } from "../../src/findings/lameness.ts";
import type { StudyFlock } from "../../src/findings/study-flocks.ts";
import { withinFlocksTable } from "../../src/findings/within-flocks.ts";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import { languages } from "../../src/records/language.ts";
import { pooledPage } from "../../src/report/pooled-page.tsx";
import type { PooledPageInput } from "../../src/report/pooled-page-input.ts";
import { rowOf, seasonInput } from "./season-fixture.ts";

const hostile = `<img src=x onerror=alert(1)> Elm`;

function flock(id: string, name: string, rate: number, scale: string, lame: number): StudyFlock {
  return {
    id,
    name,
    coverage: rowOf(coverageTable, {
      flock: id,
      season: "2024-spring",
      group_kind: "flock",
      present: 21,
      looked_at: 20,
      measured: 19,
      scored: 18,
    }),
    growth: rowOf(growthSummaryTable, {
      flock: id,
      season: "2024-spring",
      group_kind: "flock",
      group_value: id,
      animals: 19,
      intervals: 40,
      rate_mm_30d: rate,
      lo: rate - 0.3,
      hi: rate + 0.3,
    }),
    lameness: [
      rowOf(lamenessTable, {
        flock: id,
        season: "2024-spring",
        group_kind: "flock",
        group_value: id,
        scored_animals: 18,
        lame_animals: 3,
        scores: 50,
        lame_scores: lame,
        point_prevalence: lame / 50,
        point_lo: lame / 100,
        point_hi: lame / 25,
        gait_scale: scale,
        lame_from: 3,
      }),
    ],
    association: [
      rowOf(associationTable, {
        flock: id,
        outcome: "growth",
        exposure: "crude_protein",
        level: "within_pen",
        check: "main",
        per: "per_crude_protein(1)",
        effect_kind: "mm_per_30d",
        effect: rate - 4,
        lo: rate - 5,
        hi: rate - 3,
        df: 7,
      }),
    ],
  };
}

function study(over: Partial<PooledPageInput["study"]> = {}, language: "en" | "es" = "en"): PooledPageInput {
  const association = (check: string, left_out: string, effect: number) =>
    rowOf(associationTable, {
      flock: "all",
      outcome: "growth",
      exposure: "crude_protein",
      level: "within_pen",
      check,
      left_out,
      per: "per_crude_protein(1)",
      effect_kind: "mm_per_30d",
      effect,
      lo: effect - 0.2,
      hi: effect + 0.2,
      df: 21,
      rows: 120,
      animals: 57,
      pens: 9,
    });
  return {
    pooled: seasonInput({
      language,
      flock: { name: "3 flocks together", unit: "mm" },
      findings: {
        growthSummary: [
          rowOf(growthSummaryTable, {
            flock: "all",
            season: "2024-spring",
            group_kind: "flock",
            group_value: "all",
            animals: 57,
            intervals: 120,
            rate_mm_30d: 4.7,
            lo: 4.4,
            hi: 5,
          }),
        ],
        lameness: [
          rowOf(lamenessTable, {
            flock: "all",
            season: "2024-spring",
            group_kind: "flock",
            group_value: "all",
            scored_animals: 36,
            lame_animals: 6,
            prevalence: 1 / 6,
            lo: 0.079,
            hi: 0.319,
            scores: 100,
            lame_scores: 14,
            point_prevalence: 0.14,
            point_lo: 0.08,
            point_hi: 0.23,
            gait_scale: "1-5",
            lame_from: 3,
          }),
        ],
        association: [association("main", "", 0.4), association("leave_out_flock", "a", 0.3)],
      },
    }),
    study: {
      flocks: [
        flock("a", hostile, 5, "1-5", 5),
        flock("b", "Birch", 4.5, "1-5", 9),
        flock("c", "Cedar", 3.5, "0-3", 2),
      ],
      between: [
        rowOf(betweenFlocksTable, {
          flock: "all",
          season: "2024-spring",
          measure: "growth",
          gait_scale: "",
          flocks: 3,
          p_alike: 0.012,
          caution: "too_few_flocks(3,6)",
        }),
      ],
      differences: [
        difference({ flock: "all", flocks: 3, effect: 0.4, lo: 0.1, hi: 0.7, df: 2 }),
        difference({ flock: "a", flocks: 1, effect: 0.3, lo: -0.1, hi: 0.7, df: 20 }),
        difference({
          flock: "all",
          flocks: 2,
          check: "leave_out_flock",
          left_out: "a",
          effect: 0.5,
          lo: -1,
          hi: 2,
          df: 1,
        }),
      ],
      within: [
        rowOf(withinFlocksTable, {
          flock: "all",
          season: "2024-spring",
          group_kind: "ground",
          group_value: "pasture",
          flocks: 3,
          scored_animals: 22,
          lame_animals: 8,
          other_animals: 32,
          other_lame: 4,
          odds_ratio: 3.4,
          lo: 1.2,
          hi: 9.7,
        }),
      ],
      ...over,
    },
  };
}

function difference(of: Partial<FlockDifferenceRow>): FlockDifferenceRow {
  return rowOf(flockDifferenceTable, {
    outcome: "growth",
    group_kind: "class",
    group_value: "kid",
    check: "main",
    left_out: "",
    animals: 12,
    other_animals: 40,
    effect_kind: "mm_per_30d",
    ...of,
  });
}

async function page(input: PooledPageInput): Promise<{ html: string; text: string }> {
  const files = await pooledPage(input, chartDrawer());
  const html = files.find(({ path }) => path.endsWith("extension.html"))!.content;
  const text = html
    .replace(/<style[\s\S]*?<\/style>/g, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/\s+/g, " ");
  return { html, text };
}

test("figures of the text are those of the rows, each flock beside all", async () => {
  const { text } = await page(study());
  expect(text).toContain("63 goats in 3 flocks were there this season");
  expect(text).toContain("Hooves grew 4.7 mm a month (4.4 to 5.0) net of wear, in 57 goats of 3 flocks");
  expect(text).toContain("6 of 36 goats were lame at some time: 17 % (8 to 32 %)");
  expect(text).toContain("Lame clearly more or less often than their own flock's others: pasture (ground)");
  // slopes of the flocks: +1, +0.5 and −0.5 beside +0.4
  expect(text).toContain("2 of 3 flocks' slopes point the way the common one does");
});

test("a group beside its own flock's others: all flocks, each of them, and without one", async () => {
  const { html, text } = await page(study());
  expect(text).toContain("Clear of their own flock's other goats: kids (class)");
  const section = html.split('id="flock-differences-growth"')[1]!.split("</section>")[0]!;
  expect(section).toContain("<svg");
  const id = /href="#(table-\d+)"/.exec(section)![1]!;
  const table = html.split(`id="${id}"`)[1]!.split("</table>")[0]!;
  // the head, all flocks, and one flock; the figure without a flock stands in the row of all
  expect(table.match(/<tr>/g)).toHaveLength(3);
  expect(table).toMatch(/<td data-name="One flock left out: lowest and highest">all but [^<]*: [−\d]/);
  expect(text).not.toContain("Within a flock, whose trims last longer?");
});

test("flocks of another scale have no part in a common prevalence, and the page says so", async () => {
  const { html, text } = await page(study());
  expect(text).toContain("on 2 gait scales that are not compared with each other");
  expect(text).toContain("A score of one scale is not that of another");
  const section = html.split('id="lameness"')[1]!.split("</section>")[0]!;
  expect(section).toContain("Cedar, scale 0-3, lame from 3");
});

test("under six flocks nothing is said of others; from six on their range is", async () => {
  expect((await page(study())).text).toContain("With 3 flocks nothing is said of other flocks");
  const between = [
    rowOf(betweenFlocksTable, {
      flock: "all",
      season: "2024-spring",
      measure: "growth",
      gait_scale: "",
      flocks: 7,
      p_alike: 0.4,
      typical: 4.6,
      lo: 4.2,
      hi: 5,
      sd_between: 0.3,
      next_lo: 3.6,
      next_hi: 5.6,
      caution: null,
    }),
  ];
  const { text } = await page(study({ between }));
  expect(text).toContain("Flocks such as these come to 4.6 mm a month (4.2 to 5.0)");
  expect(text).toContain("between 3.6 mm a month and 5.6 mm a month");
});

test.each(languages)("markup in a flock's name is text, in %s, and no word is missing", async (language) => {
  const { html, text } = await page(study({}, language));
  expect(html).not.toContain("<img");
  expect(html).toContain("&lt;img src=x");
  expect(text).not.toMatch(/undefined|NaN|\[object|null/);
});

test("a season in which nothing was measured or scored says what it cannot tell", async () => {
  const bare = study({ between: [], within: [] });
  const flocks = bare.study.flocks.map((one) => ({ ...one, growth: null, lameness: [], association: [] }));
  const { text } = await page({
    pooled: seasonInput({ language: "en", flock: { name: "3 flocks together", unit: "mm" }, findings: {} }),
    study: { ...bare.study, flocks },
  });
  expect(text).toContain("Fewer than two flocks have a figure of growth this season");
  expect(text).toContain("No flock has enough scored goats this season");
});
