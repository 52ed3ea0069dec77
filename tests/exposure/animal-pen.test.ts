import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { SmallFlocks } from "../findings/found-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([]);
});
afterAll(() => book.close());

interface Spell {
  readonly pen: string;
  readonly basis: string;
  readonly from_day: string;
  readonly to_day: string;
}

function spellsOf(flock: string, animal: string): Promise<Spell[]> {
  return book.rows<Spell>(
    `SELECT pen, basis, CAST(from_day AS VARCHAR) AS from_day, CAST(to_day AS VARCHAR) AS to_day FROM exposure.animal_pen
     WHERE flock = ${quoteText(flock)} AND animal = ${quoteText(animal)} ORDER BY from_day`,
  );
}

const gait = (animal: string, date: string, pen: string | null = null) => ({
  animal,
  date,
  gait: 1,
  gait_scale: "1-5",
  pen,
});
const FOREVER = "9999-12-31";

describe("a flock of two pens", () => {
  const flock = flocks.add({
    animals: [
      { animal: "dam", sex: "female", born: "2019-01-01", dam: null },
      { animal: "kid", sex: "female", born: "2024-03-01", dam: "dam" },
      { animal: "grown", sex: "female", born: null, dam: "dam" },
      { animal: "noted", sex: "female", born: null, dam: "dam" },
      { animal: "mover", sex: "female", born: "2019-01-01", dam: null },
    ],
    pens: [{ pen: "Barn" }, { pen: "Yard" }],
    stays: [
      { animal: "dam", pen: "Barn", from: "2024-01-01", to: "2024-04-01" },
      { animal: "dam", pen: "Yard", from: "2024-04-01", to: null },
      // the second begins before the first is said to end
      { animal: "mover", pen: "Barn", from: "2024-01-01", to: "2024-12-31" },
      { animal: "mover", pen: "Yard", from: "2024-05-01", to: null },
    ],
    gaits: [
      gait("kid", "2024-05-01"),
      gait("noted", "2024-02-01", "Barn"),
      gait("noted", "2024-03-01", "Yard"),
      gait("noted", "2024-11-01", "Barn"),
    ],
  });

  test("a stay ends where the animal's next begins", async () => {
    expect(await spellsOf(flock, "mover")).toEqual([
      { pen: "Barn", basis: "stay", from_day: "2024-01-01", to_day: "2024-05-01" },
      { pen: "Yard", basis: "stay", from_day: "2024-05-01", to_day: FOREVER },
    ]);
  });

  test("a pen on its own records holds until they name another, 120 days at most", async () => {
    expect(await spellsOf(flock, "noted")).toEqual([
      { pen: "Barn", basis: "record", from_day: "2024-02-01", to_day: "2024-03-01" },
      // 2024-03-01 and 120 days
      { pen: "Yard", basis: "record", from_day: "2024-03-01", to_day: "2024-06-29" },
      { pen: "Barn", basis: "record", from_day: "2024-11-01", to_day: "2025-03-01" },
    ]);
  });

  test("a kid stands where its dam does until it is 90 days old", async () => {
    expect(await spellsOf(flock, "kid")).toEqual([
      { pen: "Barn", basis: "dam", from_day: "2024-03-01", to_day: "2024-04-01" },
      // 2024-03-01 and 90 days
      { pen: "Yard", basis: "dam", from_day: "2024-04-01", to_day: "2024-05-30" },
    ]);
  });

  test("a goat of no known birth is not taken for a kid at its dam's side", async () => {
    expect(await spellsOf(flock, "grown")).toEqual([]);
  });
});

describe("a flock of one pen", () => {
  const flock = flocks.add({
    animals: [
      { animal: "dam", sex: "female", born: "2019-01-01", dam: null },
      { animal: "kid", sex: "female", born: "2024-03-01", dam: "dam" },
    ],
    stays: [{ animal: "dam", pen: "Barn", from: "2024-01-01" }],
    gaits: [gait("kid", "2024-05-01"), gait("dam", "2024-05-01")],
  });

  test("is where every goat stands, each day once", async () => {
    expect(await spellsOf(flock, "kid")).toEqual([
      { pen: "Barn", basis: "only", from_day: "2024-03-01", to_day: FOREVER },
    ]);
  });

  test("a kid's score counts once", async () => {
    const [scores] = await book.rows<{ count: number }>(
      `SELECT CAST(count(*) AS INTEGER) AS count FROM exposure.gait_day WHERE flock = ${quoteText(flock)} AND animal = 'kid'`,
    );
    expect(scores).toEqual({ count: 1 });
  });
});
