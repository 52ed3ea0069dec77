import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { readFlocks } from "../../src/exposure/flocks.ts";
import { readSeasonFacts, type SeasonFacts } from "../../src/findings/season-facts.ts";
import { isoDay } from "../../src/records/days.ts";
import { does, SmallFlocks, stand } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([]);
});
afterAll(() => book.close());

async function factsOf(flock: string, season: string): Promise<SeasonFacts> {
  const found = (await readFlocks(book, 100_000, null)).find(({ id }) => id === flock)!;
  const span = found.seasons.find(({ id }) => id === season)!;
  return readSeasonFacts(book, found, span.from, span.to);
}

const dayOf = (day: number | null): string | null => (day === null ? null : isoDay(day));

describe("withdrawals", () => {
  const treated = (date: string, more: HerdRow = {}): HerdRow => ({
    animal: "a",
    date,
    treatment: "antibiotic",
    withdrawal_until: null,
    withdrawal_milk_until: null,
    withdrawal_meat_until: null,
    ...more,
  });
  const gait = { animal: "a", date: "2024-06-10", gait: 1, gait_scale: "1-5" };
  const flock = flocks.add({
    animals: does(["a"]),
    gaits: [gait],
    treatments: [
      treated("2024-05-20", { withdrawal_milk_until: "2024-06-12", withdrawal_meat_until: "2024-06-30" }),
      treated("2024-03-20", { withdrawal_until: "2024-04-20" }),
      treated("2024-06-05"),
    ],
  });
  const ended = flocks.add({
    animals: does(["a"]),
    gaits: [gait],
    treatments: [treated("2024-06-01", { withdrawal_until: "2024-06-09" })],
  });
  const both = flocks.add({
    animals: does(["a"]),
    gaits: [gait],
    treatments: [treated("2024-06-01", { withdrawal_until: "2024-06-20" })],
  });

  test("run on into the next season: a treatment of May counts on the page of June", async () => {
    const { treatments } = await factsOf(flock, "2024-summer");
    expect(treatments).toMatchObject({ count: 1, withoutWithdrawal: 1 });
    expect(dayOf(treatments.milkUntil)).toBe("2024-06-12");
    expect(dayOf(treatments.meatUntil)).toBe("2024-06-30");
  });

  test("stand on the page of the season of the treatment as long as they run", async () => {
    const { treatments } = await factsOf(flock, "2024-spring");
    expect(treatments).toMatchObject({ count: 2, withoutWithdrawal: 0 });
    expect(dayOf(treatments.meatUntil)).toBe("2024-06-30");
  });

  test("that ended before the flock's day no longer run; one day for both speaks of both", async () => {
    expect((await factsOf(ended, "2024-summer")).treatments).toMatchObject({
      milkUntil: null,
      meatUntil: null,
    });
    const { treatments } = await factsOf(both, "2024-summer");
    expect([dayOf(treatments.milkUntil), dayOf(treatments.meatUntil)]).toEqual(["2024-06-20", "2024-06-20"]);
  });
});

describe("what a season's pages warn of", () => {
  const ration = (from: string, protein: number): HerdRow => ({
    pen: "Barn",
    from,
    crude_protein_pct_dm: protein,
    copper_mg_per_kg_dm: null,
  });
  const flock = flocks.add({
    animals: does(["a", "b"]),
    pens: [{ pen: "Barn", sheep_too: true }],
    stays: stand(["a", "b"], "Barn"),
    // 2.9 points up in April, 3 points up within a week in May
    rations: [ration("2024-03-01", 12), ration("2024-04-10", 14.9), ration("2024-05-10", 17.9)],
    events: [{ date: "2024-04-15", pen: "Barn", event: "footbath" }],
    gaits: ["2024-03-05", "2024-05-30", "2024-06-10"].map((date, i) => ({
      animal: "a",
      date,
      gait: 1,
      gait_scale: "1-5",
      scorer: ["Cal", "Ann", "Bob"][i]!,
    })),
  });

  test("a sudden rise of protein: three points within a week, told once, on its first day", async () => {
    const { rationRises } = await factsOf(flock, "2024-spring");
    expect(rationRises.map(({ pen, day, from, to }) => [pen, isoDay(day), from, to])).toEqual([
      ["Barn", "2024-05-10", 14.9, 17.9],
    ]);
  });

  test("sheep in a pen, footbaths of the season, copper where it is known", async () => {
    expect(await factsOf(flock, "2024-spring")).toMatchObject({
      footbathNamed: true,
      sheepToo: true,
      copperKnown: false,
      scorers: ["Cal", "Ann"],
    });
    expect(await factsOf(flock, "2024-summer")).toMatchObject({ footbathNamed: false, scorers: ["Bob"] });
  });
});

test("the records of a sheet with a column for the flock count for every flock that it holds", async () => {
  const shared = await flocks.find([]);
  // the flocks of this file all have their records in source 1
  await shared.run(
    "INSERT INTO intake.source VALUES (1, 1, 'flock', 'gaits.csv', NULL, 'gaits', 'long', 'x', 1, 40, '[]'), (2, 1, 'other', 'more.csv', NULL, 'gaits', 'long', 'y', 1, 9, '[]')",
  );
  await shared.run(
    "INSERT INTO intake.record_sum VALUES (1, 'gaits', 40, 36, 3, 1, 36, 0, 3), (2, 'gaits', 9, 9, 0, 0, 9, 0, 0)",
  );
  const found = (await readFlocks(shared, 100_000, null))[0]!;
  const { records } = await readSeasonFacts(shared, found, found.firstDay, found.today);
  expect(records).toEqual({ read: 40, taken: 36, setAside: 3, repeats: 1 });
  await shared.close();
});
