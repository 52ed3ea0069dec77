import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { analyse } from "../../src/findings/analyse.ts";
import { betweenFlocksRow } from "../../src/findings/between-flocks.ts";
import type { GrowthSummaryRow } from "../../src/findings/growth-summary.ts";
import { pooledGrowth } from "../../src/findings/pooled-flocks.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { type HerdRow, herdBook, loadHerd } from "./herd-book.ts";

describe("growth of several flocks", () => {
  const row = (flock: string, animals: number, rate: number | null, reach: number): GrowthSummaryRow => ({
    flock,
    season: "all",
    group_kind: "flock",
    group_value: flock,
    animals,
    intervals: 2 * animals,
    rate_mm_30d: rate,
    lo: rate === null ? null : rate - reach,
    hi: rate === null ? null : rate + reach,
    caution: null,
  });

  test("is the mean by animals, and errors add up as squares", () => {
    const [pooled] = pooledGrowth([row("a", 10, 4, 1), row("b", 30, 6, 0.5), row("c", 5, null, 0)]);
    // by hand: 10/40 of 4 and 30/40 of 6; √((10/40·1)² + (30/40·0.5)²) = √0.203125
    expect(pooled).toMatchObject({ flock: "all", animals: 40, intervals: 80, rate_mm_30d: 5.5 });
    expect(pooled!.hi! - 5.5).toBeCloseTo(Math.sqrt(0.203125), 12);
    expect(5.5 - pooled!.lo!).toBeCloseTo(Math.sqrt(0.203125), 12);
  });

  test("is not given for one flock alone", () => {
    expect(pooledGrowth([row("a", 10, 4, 1), row("b", 30, null, 0)])).toEqual([]);
  });
});

describe("how far flocks lie apart", () => {
  const key = { flock: "all", season: "all", measure: "growth", gait_scale: "" };
  const REACH = 1.959963984540054;
  const figures = (values: readonly number[], error: number) =>
    values.map((value) => ({ value, lo: value - REACH * error, hi: value + REACH * error }));

  // by hand: with one error σ for all, Q is Σ(x − mean)²/σ², the variance between is s² − σ², the mean's error s/√k
  test("with six flocks of one error each figure is arithmetic", () => {
    const values = [2, 3, 4, 5, 6, 7];
    const found = betweenFlocksRow(key, figures(values, 0.5), false);
    const variance = 17.5 / 5;
    const t5 = 2.570581835636314; // any table of Student's t, 5 degrees of freedom, 0.975
    expect(found.typical).toBeCloseTo(4.5, 9);
    expect(found.sd_between).toBeCloseTo(Math.sqrt(variance - 0.25), 6);
    expect(found.hi! - 4.5).toBeCloseTo(t5 * Math.sqrt(variance / 6), 6);
    expect(found.next_hi! - 4.5).toBeCloseTo(t5 * Math.sqrt(variance - 0.25 + variance / 6), 6);
    expect(found.caution).toBeNull();
  });

  // by hand: Q = (0.5² + 0.5²)/0.5² = 2 with one degree of freedom, where 1.96² = 3.84 would be p = 0.05; p(2) = 0.1573
  test("two flocks: whether they are alike, and no word on others", () => {
    const found = betweenFlocksRow(key, figures([3, 4], 0.5), false);
    expect(found.p_alike).toBeCloseTo(0.1573, 4);
    expect(found).toMatchObject({ flocks: 2, typical: null, next_lo: null, caution: "too_few_flocks(2,6)" });
  });

  test("shares stay shares, also where a flock had none lame", () => {
    const shares = [0, 0.1, 0.2, 0.3, 0.25, 0.15].map((value) => ({
      value,
      lo: Math.max(0.001, value - 0.1),
      hi: value + 0.1,
    }));
    const found = betweenFlocksRow({ ...key, measure: "ever_lame" }, shares, true);
    expect(found.flocks).toBe(6);
    expect(found.next_lo).toBeGreaterThan(0);
    expect(found.next_hi).toBeLessThan(1);
    expect(found.typical).toBeGreaterThan(0.1);
    expect(found.typical).toBeLessThan(0.25);
  });
});

describe("a book of four flocks", () => {
  let book: Book;
  beforeAll(async () => {
    book = await herdBook(
      flock({ goats: 10, lame: 4, pasture: 5, lamePasture: 3 }),
      { gait_scale: "1-5" },
      "ash",
    );
    await loadHerd(
      book,
      flock({ goats: 20, lame: 2, pasture: 10, lamePasture: 1 }),
      { gait_scale: "1-5" },
      "birch",
    );
    await loadHerd(
      book,
      flock({ scale: "0-3", goats: 8, lame: 4, pasture: 4, lamePasture: 2 }),
      { gait_scale: "0-3", lame_from: 2 },
      "cedar",
    );
    await loadHerd(
      book,
      flock({ goats: 6, lame: 3, pasture: 3, lamePasture: 2 }),
      { gait_scale: "1-5", lame_from: 2 },
      "dune",
    );
    await analyse(book, {
      calendarDay: parseIsoDay("2024-12-31")!,
      on: null,
      seed: 1,
      version: "test",
      madeAt: "2024-12-31T00:00:00.000Z",
    });
  }, 60_000);
  afterAll(() => book.close());

  /** Goats scored once in May, the lame ones at the scale's top; half on pasture, half on concrete. */
  function flock(of: { scale?: string; goats: number; lame: number; pasture: number; lamePasture: number }) {
    const tags = Array.from({ length: of.goats }, (_, i) => `G${i}`);
    const onPasture = (i: number): boolean => i < of.pasture;
    const isLame = (i: number): boolean =>
      onPasture(i) ? i < of.lamePasture : i - of.pasture < of.lame - of.lamePasture;
    const animals: HerdRow[] = tags.map((animal) => ({
      animal,
      sex: "female",
      born: "2019-01-01",
      breed: "Alpine",
    }));
    return {
      animals,
      pens: [
        { pen: "Meadow", ground: "pasture" },
        { pen: "Yard", ground: "concrete" },
      ],
      stays: tags.map((animal, i) => ({ animal, pen: onPasture(i) ? "Meadow" : "Yard", from: "2024-01-01" })),
      gaits: tags.map((animal, i) => ({
        animal,
        date: "2024-05-15",
        gait: isLame(i) ? 3 : 1,
        gait_scale: of.scale ?? "1-5",
      })),
      lesions: tags
        .slice(0, 4)
        .map((animal, i) => ({ animal, date: "2024-05-15", lesion: i === 0 ? "footrot" : "none" })),
    } satisfies Record<string, HerdRow[]>;
  }

  test("flocks of one scale and mark share a prevalence; others do not", async () => {
    const rows = await book.rows(
      "SELECT gait_scale, lame_from, scored_animals, lame_animals, prevalence FROM results.lameness WHERE flock = 'all' AND season = '2024-spring'",
    );
    // ash and birch: 6 lame of 30; cedar has another scale and dune another mark
    expect(rows).toEqual([
      { gait_scale: "1-5", lame_from: 3, scored_animals: 30, lame_animals: 6, prevalence: 0.2 },
    ]);
  });

  test("counts add up over all flocks; pens and lines of one name do not", async () => {
    const [coverage] = await book.rows(
      "SELECT present, scored FROM results.coverage WHERE flock = 'all' AND season = '2024-spring'",
    );
    expect(coverage).toEqual({ present: 44, scored: 44 });
    const profile = await book.rows<{ trait: string; value: string; animals: number }>(
      "SELECT trait, value, animals FROM results.flock_profile WHERE flock = 'all' AND season = '2024-spring' AND trait IN ('breed', 'ground', 'pen', 'line') ORDER BY ALL",
    );
    expect(profile).toEqual([
      { trait: "breed", value: "Alpine", animals: 44 },
      { trait: "ground", value: "concrete", animals: 22 },
      { trait: "ground", value: "pasture", animals: 22 },
    ]);
    const [flow] = await book.rows(
      "SELECT \"rows\", animals FROM results.record_flow WHERE flock = 'all' AND season = '2024-spring' AND step = 'gait_scores'",
    );
    expect(flow).toEqual({ rows: 44, animals: 44 });
  });

  test("a lesion counts over every goat examined", async () => {
    // four examined in each flock, one of them with footrot
    const rows = await book.rows(
      "SELECT lesion, examined_animals, affected_animals, prevalence FROM results.lesion WHERE flock = 'all' AND season = '2024-spring'",
    );
    expect(rows).toEqual([
      { lesion: "footrot", examined_animals: 16, affected_animals: 4, prevalence: 0.25 },
    ]);
  });

  test("differences within flocks are put together across scales and marks", async () => {
    const [row] = await book.rows<{ odds_ratio: number }>(
      "SELECT flocks, scored_animals, lame_animals, other_animals, other_lame, odds_ratio FROM results.within_flocks WHERE season = '2024-spring' AND group_value = 'pasture'",
    );
    // by hand, Σ ad/n over Σ bc/n: ash 3·4/10 and 2·1/10, birch 1·9/20 and 9·1/20, cedar 2·2/8 and 2·2/8, dune 2·2/6 and 1·1/6
    const ratio = (12 / 10 + 9 / 20 + 4 / 8 + 4 / 6) / (2 / 10 + 9 / 20 + 4 / 8 + 1 / 6);
    expect(row).toMatchObject({
      flocks: 4,
      scored_animals: 22,
      lame_animals: 8,
      other_animals: 22,
      other_lame: 5,
    });
    expect(row!.odds_ratio).toBeCloseTo(ratio, 12);
  });

  test("with under five flocks nothing is claimed between them", async () => {
    const [row] = await book.rows<{ n: number }>(
      "SELECT CAST(count(*) AS INTEGER) AS n FROM results.association WHERE flock = 'all' AND level = 'between_flock' AND effect IS NOT NULL",
    );
    expect(row!.n).toBe(0);
    const between = await book.rows<{ typical: number | null; caution: string }>(
      "SELECT typical, caution FROM results.between_flocks",
    );
    expect(between.length).toBeGreaterThan(0);
    for (const one of between)
      expect(one).toMatchObject({ typical: null, caution: expect.stringContaining("too_few_flocks") });
  });
});

test("a book of one flock has no pooled row", async () => {
  const alone = await herdBook({
    animals: [{ animal: "A" }],
    gaits: [{ animal: "A", date: "2024-05-15", gait: 1 }],
  });
  await analyse(alone, {
    calendarDay: parseIsoDay("2024-12-31")!,
    on: null,
    seed: 1,
    version: "test",
    madeAt: "2024-12-31T00:00:00.000Z",
  });
  for (const table of [
    "lameness",
    "coverage",
    "flock_profile",
    "record_flow",
    "between_flocks",
    "within_flocks",
  ])
    expect(await alone.rows(`SELECT flock FROM results.${table} WHERE flock = 'all'`), table).toEqual([]);
  await alone.close();
});
