import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { createTable } from "../../src/findings/finding.ts";
import {
  type FlockDifferenceRow,
  flockDifferenceRows,
  groupRows,
  type OwnDifference,
} from "../../src/findings/flock-differences.ts";
import { trimSpell } from "../../src/findings/trim-spell.ts";
import { ratioByFlocks } from "../../src/findings/within-flocks.ts";
import { clusteredContrast } from "../../src/statistics/clustered-contrast.ts";
import { mantelHaenszel } from "../../src/statistics/proportions/mantel-haenszel.ts";
import { Random } from "../../src/statistics/random.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

/** Two-sided 95 % points of Student's t, any table. */
const t95 = { 1: 12.706204736174694, 2: 4.302652729911275 };

describe("a book of three flocks", () => {
  const flocks = new SmallFlocks();
  const about = [-0.2, -0.1, 0, 0.1, 0.2];
  const dates = ["2024-04-01", "2024-05-01", "2024-05-31"];

  /** Five goats on the meadow grew by `more` mm a month beyond the five in the yard. */
  function flock(more: number): string {
    const [meadow, yard] = [tagsOf("m", 5), tagsOf("y", 5)];
    const grown = (animal: string, perMonth: number): HerdRow[] =>
      dates.map((date, i) => ({
        animal,
        date,
        foot: "LF",
        claw: "inner",
        trimmed: false,
        toe_before_mm: 30 + i * perMonth,
      }));
    return flocks.add({
      animals: does([...meadow, ...yard]),
      pens: [
        { pen: "Meadow", ground: "pasture" },
        { pen: "Yard", ground: "concrete" },
      ],
      stays: [...stand(meadow, "Meadow"), ...stand(yard, "Yard")],
      trims: [
        ...meadow.flatMap((animal, k) => grown(animal, 3 + more + about[k]!)),
        ...yard.flatMap((animal, k) => grown(animal, 3 + about[k]!)),
      ],
    });
  }

  const names = [0.5, 1, 1.5].map(flock);
  let book: Book;
  let rows: readonly FlockDifferenceRow[];
  beforeAll(async () => {
    book = await flocks.find([]);
    for (const table of trimSpell.tables) await book.run(createTable(table));
    // in the yard over the limit within these days, on the meadow within twice as many
    const spells = [
      [30, 40],
      [40, 50],
      [50, 60],
      [60, 70],
      [35, 45],
    ].flatMap(([from, to], k) => [
      [`y${k}`, from, to],
      [`m${k}`, 2 * from!, 2 * to!],
    ]);
    for (const name of names) {
      for (const [animal, from, to] of spells) {
        await book.run(
          `INSERT INTO results.trim_spell (flock, animal, foot, claw, trimmed_on, claws, checks, not_over_until, over_by)
           VALUES ('${name}', '${animal}', '', '', DATE '2024-05-01', 8, 2, ${from}, ${to})`,
        );
      }
    }
    rows = await flockDifferenceRows(book);
  });
  afterAll(() => book.close());

  const pasture = (outcome: string, check = "main", flockName = "all"): FlockDifferenceRow[] =>
    rows.filter(
      (row) =>
        row.outcome === outcome &&
        row.group_value === "pasture" &&
        row.check === check &&
        row.flock === flockName,
    );

  test("growth: the mean of the flocks' own differences, flocks as units", () => {
    const [row] = pasture("growth");
    expect(row).toMatchObject({
      flocks: 3,
      animals: 15,
      other_animals: 15,
      df: 2,
      effect_kind: "mm_per_30d",
    });
    expect(row!.effect).toBeCloseTo(1, 9);
    // differences 0.5, 1, 1.5 of like errors: variance 0.25 about their mean, whatever part of it is error
    expect(row!.hi! - 1).toBeCloseTo(t95[2] * Math.sqrt(0.25 / 3), 6);
    expect(names.map((name) => pasture("growth", "main", name)[0]!.effect!)).toEqual(
      [0.5, 1, 1.5].map((more) => expect.closeTo(more, 9)),
    );
  });

  test("growth: without one flock at a time, and no limits for one flock's ground", () => {
    const without = pasture("growth", "leave_out_flock");
    expect(without.map(({ left_out }) => left_out)).toEqual(names);
    expect(without.map(({ effect }) => effect!)).toEqual(
      [1.25, 1, 0.75].map((mean) => expect.closeTo(mean, 9)),
    );
    expect(without[0]!.hi! - 1.25).toBeCloseTo(t95[1] * Math.sqrt(0.125 / 2), 6);
    expect(pasture("growth", "main", names[0]!)[0]).toMatchObject({
      lo: null,
      caution: "pen_level_withheld",
    });
  });

  test("time to retrim: trims that last twice as long have a ratio of two", () => {
    const [row] = pasture("time_to_retrim");
    expect(row).toMatchObject({ flocks: 3, df: 2, effect_kind: "time_ratio" });
    expect(row!.effect).toBeCloseTo(2, 6);
    expect(row!.p_alike).toBeCloseTo(1, 6);
  });
});

describe("limits over flocks", () => {
  const group = { outcome: "growth", group_kind: "class", group_value: "kid" };

  test("two flocks have none in common", () => {
    expect(groupRows(group, [own("a", 1, 0.3), own("b", 2, 0.3)])).toEqual([]);
  });

  // Differences vary between flocks by 0.4 beyond errors of 0.2 to 0.6: 95 in 100 limits hold, or more; 0.91 is four
  // errors of the simulation below.
  test.each([3, 5])("of %i flocks hold the mean difference", (count) => {
    const random = new Random(count);
    const studies = 400;
    let held = 0;
    for (let k = 0; k < studies; k++) {
      const found = Array.from({ length: count }, (_, f) => {
        const error = 0.2 + 0.4 * random.uniform();
        return own(`${f}`, 0.5 + 0.4 * random.normal() + error * random.normal(), error);
      });
      const { lo, hi } = groupRows(group, found)[0]!;
      if (lo! <= 0.5 && 0.5 <= hi!) held++;
    }
    expect(held / studies).toBeGreaterThan(0.91);
  });

  function own(flock: string, estimate: number, standardError: number): OwnDifference {
    return { flock, animals: 10, otherAnimals: 10, estimate, standardError, df: 19 };
  }
});

test("a ratio of ground is as sure as flocks agree on it, and no surer than goats would be", () => {
  const stratum = (events: number, otherEvents: number) => ({
    events,
    total: 20,
    otherEvents,
    otherTotal: 20,
  });
  const alike = [stratum(8, 4), stratum(8, 4), stratum(8, 4)];
  expect(ratioByFlocks(alike, ["a", "b", "c"])).toEqual(mantelHaenszel(alike));
  const apart = [stratum(12, 2), stratum(8, 4), stratum(4, 8)];
  const [byFlocks, byGoats] = [ratioByFlocks(apart, ["a", "b", "c"])!, mantelHaenszel(apart)!];
  expect(byFlocks.estimate).toBe(byGoats.estimate);
  expect(byFlocks.hi).toBeGreaterThan(2 * byGoats.hi);
});

describe("a contrast within blocks with clusters", () => {
  test("by hand", () => {
    // One block: means 4 and 2. Scores of the clusters ±½·residual: ½(1 − 1) and −½(1 − 1) within them, else ±1.
    const rows = { value: [3, 5, 1, 3], inGroup: [true, true, false, false], block: [0, 0, 0, 0] };
    const apart = clusteredContrast({ ...rows, cluster: [0, 1, 2, 3] })!;
    expect(apart.estimate).toBeCloseTo(2, 12);
    // x = ±½, Σx² = 1, residuals ±1: Σ(xr)² = 1, times 4/3
    expect(apart.standardError).toBeCloseTo(Math.sqrt(4 / 3), 12);
    expect(apart.df).toBe(3);
    expect(clusteredContrast({ ...rows, cluster: [0, 0, 1, 1] })!.standardError).toBeCloseTo(0, 12);
  });

  test("blocks that hold one side alone say nothing", () => {
    expect(
      clusteredContrast({ value: [1, 2], inGroup: [true, false], block: [0, 1], cluster: [0, 1] }),
    ).toBeUndefined();
  });
});
