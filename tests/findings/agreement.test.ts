import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type AgreementRow, agreement } from "../../src/findings/agreement.ts";
import { does, SmallFlocks, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([agreement]);
});
afterAll(() => book.close());

const rowsOf = (flock: string): Promise<AgreementRow[]> =>
  book.rows(`SELECT * FROM results.agreement WHERE flock = ${quoteText(flock)} ORDER BY ALL`);

/** Goats scored by both on one day, by how many got which pair of scores. */
function scoredTwice(counts: readonly (readonly [number, number, number])[], scale: string): string {
  const pairs = counts.flatMap(([a, b, times]) => Array.from({ length: times }, () => [a, b] as const));
  const tags = tagsOf("G", pairs.length);
  const gaits = pairs.flatMap(([a, b], i): HerdRow[] => [
    { animal: tags[i]!, date: "2024-05-01", gait: a, gait_scale: scale, scorer: "Ann" },
    { animal: tags[i]!, date: "2024-05-01", gait: b, gait_scale: scale, scorer: "Bob" },
  ]);
  return flocks.add({ animals: does(tags), gaits });
}

// The 200 pairs of Cohen 1968 (Psychol. Bull. 70:213-220, from memory). By hand: disagreement by its square 0.60, that
// of chance 1.10, so that quadratically weighted kappa is 1 − 0.60/1.10.
const cohen = scoredTwice(
  [
    [0, 0, 88],
    [0, 1, 14],
    [0, 2, 18],
    [1, 0, 10],
    [1, 1, 40],
    [1, 2, 10],
    [2, 0, 2],
    [2, 1, 6],
    [2, 2, 12],
  ],
  "0-3",
);
test("two scorers agree by quadratically weighted kappa, classes that nobody used changing nothing", async () => {
  const [row, ...others] = await rowsOf(cohen);
  expect(others).toEqual([]);
  expect(row).toMatchObject({
    scorer_a: "Ann",
    scorer_b: "Bob",
    pairs: 200,
    weighted: true,
    same_score: 0.7,
  });
  expect(row!.kappa).toBeCloseTo(1 - 0.6 / 1.1, 12);
  expect(row!.lo).toBeLessThan(row!.kappa!);
  expect(row!.lo).toBeGreaterThan(0.3);
});

const half = scoredTwice(
  [
    [1, 1, 10],
    [2.5, 2.5, 5],
    [2.5, 3, 5],
    [4, 4, 5],
  ],
  "1-5",
);
test("half scores are classes of their own", async () => {
  const [row] = await rowsOf(half);
  // marks 1, 2.5, 3, 4: of Ann 10, 10, 0, 5 and of Bob 10, 5, 5, 5 in 25; five pairs half a mark apart
  const observed = (5 / 25) * 0.25;
  const ann = [
    [1, 0.4],
    [2.5, 0.4],
    [4, 0.2],
  ] as const;
  const bob = [
    [1, 0.4],
    [2.5, 0.2],
    [3, 0.2],
    [4, 0.2],
  ] as const;
  const chance = ann.reduce(
    (sum, [a, p]) => sum + bob.reduce((own, [b, q]) => own + p * q * (a - b) ** 2, 0),
    0,
  );
  expect(row!.kappa).toBeCloseTo(1 - observed / chance, 12);
  expect(row!.same_score).toBeCloseTo(20 / 25, 12);
});

const few = scoredTwice(
  [
    [1, 1, 10],
    [3, 4, 9],
  ],
  "1-5",
);
const alike = scoredTwice([[1, 1, 25]], "1-5");
describe("nothing is told", () => {
  test("by nineteen pairs", async () => {
    expect(await rowsOf(few)).toMatchObject([
      { pairs: 19, kappa: null, same_score: null, caution: "too_few_scores(19,20)" },
    ]);
  });

  test("where all got one score: chance agrees as well", async () => {
    expect(await rowsOf(alike)).toMatchObject([
      { pairs: 25, kappa: null, same_score: 1, caution: "all_scored_alike" },
    ]);
  });
});

const tags = tagsOf("G", 30);
const apart = flocks.add({
  animals: does(tags),
  gaits: tags.flatMap((animal, i): HerdRow[] => [
    { animal, date: "2024-05-01", gait: 1, gait_scale: "1-5", foot: null, scorer: "Ann" },
    // another day, another scale, another foot, nobody's name: no pair
    { animal, date: "2024-05-02", gait: 1, gait_scale: "1-5", foot: null, scorer: "Bob" },
    { animal, date: "2024-05-01", gait: 0, gait_scale: "0-3", foot: null, scorer: "Bob" },
    { animal, date: "2024-05-01", gait: 1, gait_scale: "1-5", foot: "LF", scorer: "Bob" },
    { animal, date: "2024-05-01", gait: i % 2 === 0 ? 1 : 3, gait_scale: "1-5", foot: null, scorer: null },
  ]),
});
test("a pair is one goat, one day, one scale, one foot and two names", async () => {
  expect(await rowsOf(apart)).toEqual([]);
});
