import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type LamenessRow, lameness, lamenessTable } from "../../src/findings/lameness.ts";
import { lamenessCourse, type ScorePair } from "../../src/findings/lameness-course.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { Random } from "../../src/statistics/random.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

/**
 * Rates behind the shares that fall lame and that recover from one look to the next: with all gaps alike the likelihood
 * is solved by hand (Kalbfleisch and Lawless 1985, JASA 80:863-871), (λ + ρ)·gap = −ln(1 − p01 − p10).
 */
function ratesByHand(p01: number, p10: number, gap: number): { onset: number; recovery: number } {
  const both = -Math.log(1 - p01 - p10) / gap;
  return { onset: (both * p01) / (p01 + p10), recovery: (both * p10) / (p01 + p10) };
}

/** Pairs of looks dealt out to animals in turn: so many from each state, so many of them moves. */
function pairs(
  sound: number,
  fell: number,
  lame: number,
  healed: number,
  gap: number,
  animals = 30,
): ScorePair[] {
  const moves = [
    ...Array.from({ length: sound }, (_, i) => ({ from: 0, to: i < fell ? 1 : 0 })),
    ...Array.from({ length: lame }, (_, i) => ({ from: 1, to: i < healed ? 0 : 1 })),
  ];
  return moves.map((move, i) => ({ animal: `G${(i * 7) % animals}`, gap, ...move }));
}

describe("how lameness comes and goes", () => {
  const course = lamenessCourse(pairs(200, 20, 100, 20, 14), new Random(1), 400)!;
  const { onset, recovery } = ratesByHand(0.1, 0.2, 14);

  test("onsets per 100 animal-months and median days lame, by hand for gaps all alike", () => {
    expect(course.onset).toBeCloseTo(3000 * onset, 4);
    expect(course.medianDays).toBeCloseTo(Math.LN2 / recovery, 4);
  });

  test("limits from samples of animals: as far apart as the shares' own errors where each pair is another's", () => {
    const apart = lamenessCourse(pairs(200, 20, 100, 20, 14, 300), new Random(1), 400)!;
    // first-order error of ln λ from those of the two shares, pairs being independent here
    const h = 1e-6;
    const log = (p01: number, p10: number): number => Math.log(ratesByHand(p01, p10, 14).onset);
    const by01 = (log(0.1 + h, 0.2) - log(0.1 - h, 0.2)) / (2 * h);
    const by10 = (log(0.1, 0.2 + h) - log(0.1, 0.2 - h)) / (2 * h);
    const error = Math.sqrt((by01 ** 2 * 0.1 * 0.9) / 200 + (by10 ** 2 * 0.2 * 0.8) / 100);
    const t299 = 1.967929668654;
    expect(Math.log(apart.onsetHi / apart.onset) / (t299 * error)).toBeGreaterThan(0.85);
    expect(Math.log(apart.onsetHi / apart.onset) / (t299 * error)).toBeLessThan(1.15);
    expect(apart.onset / apart.onsetLo).toBeCloseTo(apart.onsetHi / apart.onset, 9);
  });

  test("the same seed gives the same limits", () => {
    expect(lamenessCourse(pairs(200, 20, 100, 20, 14), new Random(1), 400)).toEqual(course);
  });
});

describe("nothing is told", () => {
  test.each([
    ["with nine onsets", pairs(200, 9, 100, 20, 14)],
    ["with nine recoveries", pairs(200, 20, 100, 9, 14)],
    // −ln(1 − 0.3 − 0.5) is 1.6: gaps longer than the process remembers
    ["where every gap is longer than a state is remembered", pairs(200, 60, 100, 50, 60)],
    // half lame after half sound and the reverse: looks that tell a share and no rates
    ["where looks lie so far apart that moves are chance", pairs(200, 100, 100, 50, 200)],
  ])("%s", (_, given) => {
    expect(lamenessCourse(given, new Random(1), 200)).toBeUndefined();
  });
});

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([lameness]);
});
afterAll(() => book.close());

describe("from a flock's scores", () => {
  const tags = tagsOf("G", 20);
  const start = parseIsoDay("2024-01-01")!;
  // In each round of a fortnight the next two goats fall lame, and stay so for two rounds.
  const gaits = Array.from({ length: 11 }, (_, k) =>
    tags.map((animal, i): HerdRow => {
      const fell = Math.floor(i / 2) + 1;
      return {
        animal,
        date: isoDay(start + 14 * k),
        gait: k === fell || k === fell + 1 ? 3 : 1,
        gait_scale: "1-5",
        for_cause: false,
      };
    }),
  ).flat();
  const called: HerdRow = {
    animal: "G19",
    date: isoDay(start + 4),
    gait: 4,
    gait_scale: "1-5",
    for_cause: true,
  };
  const sheets = { animals: does(tags), stays: stand(tags, "Yard") };
  const plain = flocks.add({ ...sheets, gaits });
  const withCalled = flocks.add({ ...sheets, gaits: [...gaits, called] });
  const rowOf = async (flock: string): Promise<LamenessRow> => {
    const rows = await readTable(book, lamenessTable, `season = 'all' AND flock = ${quoteText(flock)}`);
    return rows.find(({ group_kind }) => group_kind === "flock")!;
  };

  test("pairs of successive scores give the rates", async () => {
    const row = await rowOf(plain);
    // by hand: 20 onsets; both goats of the last pair fall lame in the last round but have none after it, the pair before
    // has one round lame behind it: 18 looks at lame goats a round later each still lame, and 16 healed
    expect(row).toMatchObject({ new_cases: 20, recovered: 16 });
    const lameStarts = 18 + 16;
    const soundStarts = 20 * 10 - lameStarts;
    const { onset, recovery } = ratesByHand(20 / soundStarts, 16 / lameStarts, 14);
    expect(row.onset_100_animal_months).toBeCloseTo(3000 * onset, 3);
    expect(row.median_days_lame).toBeCloseTo(Math.LN2 / recovery, 3);
  });

  test("a goat called out because it limped changes the cases seen and not the rates", async () => {
    const [row, other] = [await rowOf(withCalled), await rowOf(plain)];
    expect(row).toMatchObject({ for_cause: 1, new_cases: 21 });
    expect(row.onset_100_animal_months).toBe(other.onset_100_animal_months);
  });
});
