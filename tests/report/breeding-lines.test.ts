import { expect, test } from "vitest";
import { breedingValueTable, lineTable } from "../../src/findings/breeding/breeding-tables.ts";
import { coverageTable } from "../../src/findings/coverage.ts";
import type { SeasonPageInput } from "../../src/report/season-page-input.ts";
import { breedingLineSection } from "../../src/report/sections/breeding-lines.ts";
import { breedingWords } from "../../src/report/words/breeding.ts";
import { rowOf, seasonInput } from "./season-fixture.ts";

/** Two lines that lie apart, looked at in the given shares, with or without a recorded parent. */
function input(measured: readonly [number, number], sire: string | null): SeasonPageInput {
  return seasonInput({
    findings: {
      lines: ["Ash", "Elm"].map((line, i) =>
        rowOf(lineTable, {
          trait: "growth",
          line,
          animals: 9,
          difference: i === 0 ? 0.5 : -0.5,
          diff_lo: i === 0 ? 0.3 : -0.7,
          diff_hi: i === 0 ? 0.7 : -0.3,
          p_worse_than_flock: i === 0 ? 0.99 : 0.01,
        }),
      ),
      coverage: ["Ash", "Elm"].map((line, i) =>
        rowOf(coverageTable, {
          group_kind: "line",
          group_value: line,
          present: 20,
          measured: measured[i]!,
          scored: 20,
        }),
      ),
      breedingValues: [rowOf(breedingValueTable, { trait: "growth", animal: "1", sire })],
    },
  });
}

test("how many of a line were looked at stands beside its rank", () => {
  const { table } = breedingLineSection(input([18, 20], "S"), "growth")!;
  const at = table!.columns.findIndex(({ name }) => name === "Measured of present");
  expect(table!.rows.map((row) => [row[0], row[at]])).toEqual([
    ["Ash", "18 / 20"],
    ["Elm", "20 / 20"],
  ]);
});

test("a line that was hardly looked at beside the others brings the caution", () => {
  const caution = breedingWords.en.coveredUnalike;
  expect(breedingLineSection(input([4, 20], "S"), "growth")!.cautions).toEqual([caution]);
  expect(breedingLineSection(input([12, 20], "S"), "growth")!.cautions).toBeUndefined();
});

test("without any recorded parent the page says what is lost", () => {
  expect(breedingLineSection(input([20, 20], null), "growth")!.cautions).toEqual([
    breedingWords.en.noParents,
  ]);
  expect(breedingLineSection(input([20, 20], "S"), "growth")!.cautions).toBeUndefined();
});
