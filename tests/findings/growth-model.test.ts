import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { growthSummary, growthSummaryTable } from "../../src/findings/growth-summary.ts";
import { growthVariances } from "../../src/findings/growth-variances.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { type SeasonChangeRow, seasonChange } from "../../src/findings/season-change.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { Random } from "../../src/statistics/random.ts";
import { does, SmallFlocks, stand } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

/**
 * In balanced layouts restricted maximum likelihood gives the estimators of the analysis of variance, where these are
 * above zero (Searle, Casella and McCulloch 1992, Variance Components, section 4.8).
 */
const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([growthSummary, growthVariances, seasonChange]);
});
afterAll(() => book.close());

async function variancesOf(flock: string): Promise<Record<string, number>> {
  const rows = await book.rows<{ component: string; variance: number }>(
    `SELECT component, variance FROM results.variance WHERE flock = ${quoteText(flock)} AND model = 'growth'`,
  );
  return Object.fromEntries(rows.map(({ component, variance }) => [component, variance]));
}

const fixedOf = (flock: string): Promise<{ term: string; estimate: number; se: number }[]> =>
  book.rows(
    `SELECT term, estimate, se FROM results.model_fit WHERE flock = ${quoteText(flock)} AND term NOT IN ('fit', 'random') ORDER BY term`,
  );

const START = parseIsoDay("2024-03-01")!;

/** Claws trimmed to 30 mm every 30 days: `grown[goat][interval][claw]` mm, so that growth is a rate. */
function trims(grown: readonly (readonly (readonly number[])[])[]): HerdRow[] {
  return grown.flatMap((intervals, g) =>
    [null, ...intervals].flatMap((claws, k) =>
      ["inner", "outer"].slice(0, intervals[0]!.length).map((claw, c) => ({
        animal: `G${g}`,
        date: isoDay(START + 30 * k),
        foot: "LF",
        claw,
        trimmed: true,
        toe_before_mm: 30 + (claws?.[c] ?? 0),
        toe_after_mm: 30,
      })),
    ),
  );
}

function herd(grown: readonly (readonly (readonly number[])[])[]): string {
  const tags = grown.map((_, g) => `G${g}`);
  return flocks.add({ animals: does(tags), stays: stand(tags, "Yard"), trims: trims(grown) });
}

const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;
const squares = (values: readonly number[], about: number): number =>
  values.reduce((sum, one) => sum + (one - about) ** 2, 0);

describe("one claw of four goats in four intervals", () => {
  // Calcium of four turnip leaves, four determinations each: Snedecor and Cochran, Statistical Methods, 6th ed., section
  // 10.13 (from memory): mean squares 0.2961 between and 0.0066 within, so that the leaves vary by 0.0724.
  const leaves = [
    [3.28, 3.09, 3.03, 3.03],
    [3.52, 3.48, 3.38, 3.38],
    [2.88, 2.8, 2.81, 2.76],
    [3.34, 3.38, 3.23, 3.26],
  ];
  const flock = herd(leaves.map((leaf) => leaf.map((one) => [one])));

  test("vary as the printed example does, between goats and within them", async () => {
    const { animal, residual, ...others } = await variancesOf(flock);
    expect(others).toEqual({});
    expect(animal).toBeCloseTo(0.0724, 4);
    expect(residual).toBeCloseTo(0.0066, 4);
  });

  test("the mean's error is that between goats", async () => {
    const [fixed, ...others] = await fixedOf(flock);
    expect(others).toEqual([]);
    expect(fixed!.estimate).toBeCloseTo(mean(leaves.flat()), 6);
    expect(fixed!.se).toBeCloseTo(Math.sqrt(0.2961 / 16), 3);
  });

  test("four goats are too few for a figure of the flock", async () => {
    const rows = await readTable(
      book,
      growthSummaryTable,
      `flock = ${quoteText(flock)} AND season = 'all' AND group_kind = 'flock'`,
    );
    expect(rows).toMatchObject([
      { animals: 4, intervals: 16, rate_mm_30d: null, caution: "too_few_animals(4,5)" },
    ]);
  });
});

describe("two claws of ten goats in four intervals", () => {
  const random = new Random(8);
  const goats = 10;
  const intervals = 4;
  const grown = Array.from({ length: goats }, () => {
    const ofGoat = 5 + random.normal();
    const ofClaw = [0, 0.8].map((side) => side + 0.7 * random.normal());
    return Array.from({ length: intervals }, () => {
      const ofInterval = 0.9 * random.normal();
      return ofClaw.map((one) => ofGoat + one + ofInterval + 0.4 * random.normal());
    });
  });
  const flock = herd(grown);

  // by hand: sums of squares of goats, of their intervals, of their claws about the mean claw of either side, the rest
  const grand = mean(grown.flat(2));
  const side = [0, 1].map((c) => mean(grown.flatMap((goat) => goat.map((claws) => claws[c]!))));
  const clawMean = (g: number, c: number): number => mean(grown[g]!.map((claws) => claws[c]!));
  const goatMean = grown.map((goat) => mean(goat.flat()));
  const ofGoats = (2 * intervals * squares(goatMean, grand)) / (goats - 1);
  const ofIntervals =
    grown.reduce((sum, goat, g) => sum + 2 * squares(goat.map(mean), goatMean[g]!), 0) /
    (goats * (intervals - 1));
  const ofClaws =
    grown.reduce(
      (sum, _, g) =>
        sum +
        [0, 1].reduce(
          (own, c) => own + intervals * (clawMean(g, c) - goatMean[g]! - side[c]! + grand) ** 2,
          0,
        ),
      0,
    ) /
    (goats - 1);
  const rest =
    grown.reduce(
      (sum, goat, g) =>
        sum +
        goat.reduce(
          (own, claws) =>
            own +
            claws.reduce((all, one, c) => all + (one - mean(claws) - clawMean(g, c) + goatMean[g]!) ** 2, 0),
          0,
        ),
      0,
    ) /
    (goats * (intervals - 1));

  test("are told apart as goats, claws, intervals shared by the claws, and readings", async () => {
    const expected = {
      animal: (ofGoats - ofIntervals - ofClaws + rest) / (2 * intervals),
      claw: (ofClaws - rest) / intervals,
      interval: (ofIntervals - rest) / 2,
      residual: rest,
    };
    for (const one of Object.values(expected)) expect(one).toBeGreaterThan(0);
    const found = await variancesOf(flock);
    expect(Object.keys(found).sort()).toEqual(Object.keys(expected).sort());
    for (const [component, variance] of Object.entries(expected)) {
      expect(found[component]! / variance, component).toBeCloseTo(1, 4);
    }
  });

  test("outer claws differ by the means of the sides, with the error of claws within goats", async () => {
    const fixed = await fixedOf(flock);
    const outer = fixed.find(({ term }) => term === "outer")!;
    expect(outer.estimate).toBeCloseTo(side[1]! - side[0]!, 6);
    expect(outer.se).toBeCloseTo(Math.sqrt((2 * ofClaws) / (goats * intervals)), 5);
  });

  test("the flock's figure is its mean, and speaks of these goats: what they differ by is no error of it", async () => {
    const rows = await readTable(
      book,
      growthSummaryTable,
      `flock = ${quoteText(flock)} AND season = 'all' AND group_kind = 'flock'`,
    );
    expect(rows[0]!.rate_mm_30d).toBeCloseTo(grand, 2);
    const half = (rows[0]!.hi! - rows[0]!.lo!) / 2;
    // what claws, intervals and readings of given goats leave open, and far from the error of a flock of other goats
    const own = 2.04 * Math.sqrt((ofIntervals + ofClaws - rest) / (2 * goats * intervals));
    expect(half / own).toBeGreaterThan(0.85);
    expect(half / own).toBeLessThan(1.3);
    expect(half).toBeLessThan(0.75 * 2.26 * Math.sqrt(ofGoats / (2 * goats * intervals)));
  });
});

describe("eight goats that grow two millimetres a month more in summer than in spring", () => {
  const random = new Random(12);
  // intervals of 30 days from the first of March: three have their middle in spring, three in summer
  const grown = Array.from({ length: 8 }, () => {
    const ofGoat = 0.4 * random.normal();
    return [4, 4, 4, 6, 6, 6].map((rate) => [0, 0].map(() => rate + ofGoat + 0.4 * random.normal()));
  });
  const flock = herd(grown);
  test("differ so by season, over the same goats in both", async () => {
    const rows = await book.rows<SeasonChangeRow>(
      `SELECT * FROM results.season_change WHERE flock = ${quoteText(flock)} AND group_kind = 'flock'`,
    );
    expect(rows).toMatchObject([
      { measure: "growth", season: "2024-summer", against: "previous", animals_in_both: 8 },
    ]);
    const [row] = rows;
    expect(row!.lo).toBeGreaterThan(0);
    expect(row!.lo).toBeLessThan(2);
    expect(row!.hi).toBeGreaterThan(2);
    // months are drawn a little toward each other
    expect(row!.difference).toBeGreaterThan(1.4);
    expect(row!.same_animals_difference).toBe(row!.difference);
  });
});
