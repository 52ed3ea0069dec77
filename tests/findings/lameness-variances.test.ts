import { afterAll, beforeAll, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { lamenessVariances } from "../../src/findings/lameness-variances.ts";
import { Random } from "../../src/statistics/random.ts";
import { herdBook } from "./herd-book.ts";

let book: Book;
beforeAll(async () => {
  book = await herdBook({});
  await book.run(
    "CREATE TABLE exposure.gait_day (flock VARCHAR, animal VARCHAR, day DATE, gait_scale VARCHAR, lame BOOLEAN, pen VARCHAR, for_cause BOOLEAN)",
  );
});
afterAll(() => book.close());

const TRUTH = { mean: -1.5, animal: 0.8, pen: 0.3, pen_month: 0.3, month: 0.2 };

/** Scores of goats in pens, once in a fortnight, whose log odds vary by the truth. */
async function score(
  flock: string,
  pens: number,
  goats: number,
  months: number,
  seed: number,
): Promise<void> {
  const random = new Random(seed);
  const draw = (variance: number): number => random.normal() * Math.sqrt(variance);
  const ofMonth = Array.from({ length: months }, () => draw(TRUTH.month));
  const rows: string[] = [];
  for (let pen = 0; pen < pens; pen++) {
    const ofPen = draw(TRUTH.pen);
    const ofPenMonth = Array.from({ length: months }, () => draw(TRUTH.pen_month));
    for (let goat = 0; goat < goats; goat++) {
      const ofGoat = draw(TRUTH.animal);
      for (let month = 0; month < months; month++) {
        for (const day of [3, 17]) {
          const odds = TRUTH.mean + ofPen + ofPenMonth[month]! + ofMonth[month]! + ofGoat;
          const date = `DATE '${2020 + Math.floor(month / 12)}-${String((month % 12) + 1).padStart(2, "0")}-${day}'`;
          rows.push(
            `('${flock}', '${pen}-${goat}', ${date}, '0-3', ${random.bernoulli(1 / (1 + Math.exp(-odds)))}, 'pen ${pen}', FALSE)`,
          );
        }
      }
    }
  }
  await book.run(`INSERT INTO exposure.gait_day VALUES ${rows.join(", ")}`);
}

test("without scores there is nothing to fit", async () => {
  expect(await lamenessVariances(book, "empty")).toBeNull();
});

test("variances of invented scores come back within what so many pens and months can tell", async () => {
  await score("known", 20, 10, 18, 3);
  const found = (await lamenessVariances(book, "known"))!;
  const variance = (component: string): number =>
    found.variances.find((row) => row.component === component)!.variance;
  const mean = found.fits.find(({ term }) => term === "mean")!;
  // four relative standard errors √(2/levels) of a variance, and Laplace's approximation a little low
  expect(Math.abs(variance("animal") / TRUTH.animal - 1)).toBeLessThan(4 * Math.sqrt(2 / 200));
  expect(Math.abs(variance("pen_month") / TRUTH.pen_month - 1)).toBeLessThan(4 * Math.sqrt(2 / 360));
  expect(Math.abs(variance("pen") / TRUTH.pen - 1)).toBeLessThan(4 * Math.sqrt(2 / 20));
  expect(Math.abs(variance("month") / TRUTH.month - 1)).toBeLessThan(4 * Math.sqrt(2 / 18));
  expect(Math.abs(mean.estimate! - TRUTH.mean)).toBeLessThan(4 * mean.se!);
  expect(found.fits[0]).toMatchObject({
    term: "fit",
    verdict: "converged",
    animals: 200,
    pens: 20,
    rows: 7200,
  });
});

test("two pens tell no variance of pens", async () => {
  await score("two pens", 2, 15, 12, 4);
  const found = (await lamenessVariances(book, "two pens"))!;
  expect(found.variances.map(({ component }) => component)).not.toContain("pen");
  expect(found.fits.find(({ level }) => level === "pen")).toMatchObject({ verdict: "untold" });
});

test("scores that are all sound allow no fit, and say why", async () => {
  await book.run(
    "INSERT INTO exposure.gait_day SELECT 'sound' AS flock, animal, day, gait_scale, FALSE AS lame, pen, FALSE AS for_cause FROM exposure.gait_day WHERE flock = 'two pens'",
  );
  const found = (await lamenessVariances(book, "sound"))!;
  expect(found.variances).toEqual([]);
  expect(found.fits).toHaveLength(1);
  expect(["failed", "flat"]).toContain(found.fits[0]!.verdict);
});
