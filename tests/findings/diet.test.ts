import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type DietRow, diet, dietTable } from "../../src/findings/diet.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { isoDay } from "../../src/records/days.ts";
import { SmallFlocks, stand } from "./found-book.ts";
import type { HerdRow, HerdSheets } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([diet]);
});
afterAll(() => book.close());

/** Goats of the barn that are seen on the first and the last day of April: a dry doe unless said otherwise. */
function barn(
  sheets: HerdSheets,
  animals: readonly HerdRow[] = [{ animal: "doe", sex: "female", born: "2019-01-01" }],
): string {
  const tags = animals.map(({ animal }) => String(animal));
  const gaits = tags.flatMap((animal) =>
    ["2024-04-01", "2024-04-30"].map((date) => ({ animal, date, gait: 1, gait_scale: "1-5" })),
  );
  return flocks.add({
    kiddings: [{ animal: "doe", date: "2023-02-01", kids: 1, dried_off: "2023-10-01" }],
    ...sheets,
    animals,
    stays: stand(tags, "Barn"),
    gaits,
  });
}

async function rowsOf(flock: string, nutrient: string, animalClass = "dry"): Promise<DietRow[]> {
  return readTable(
    book,
    dietTable,
    `flock = ${quoteText(flock)} AND nutrient = ${quoteText(nutrient)} AND animal_class = ${quoteText(animalClass)}`,
  );
}

const ration = (more: HerdRow): HerdRow => ({
  pen: "Barn",
  from: "2024-01-01",
  crude_protein_pct_dm: null,
  copper_mg_per_kg_dm: null,
  zinc_mg_per_kg_dm: null,
  molybdenum_mg_per_kg_dm: null,
  intake_kg_dm_per_head_day: null,
  ...more,
});
const mineral = (more: HerdRow): HerdRow => ({
  pen: "Barn",
  from: "2024-01-01",
  copper_mg_per_kg: null,
  product: null,
  offered_g_per_head_day: null,
  refused_g_per_head_day: null,
  ...more,
});

describe("crude protein against what is published for the class", () => {
  // Dry does: 8 to 10 % of dry matter (extension article on winter feeding of meat goats).
  const levels = [
    { protein: 7.9, verdict: "diet_below" },
    { protein: 8, verdict: "diet_meets" },
    { protein: 10, verdict: "diet_meets" },
    { protein: 10.1, verdict: "diet_above_range" },
  ].map((one) => ({ ...one, flock: barn({ rations: [ration({ crude_protein_pct_dm: one.protein })] }) }));
  test.each(levels)("$protein % for a dry doe: $verdict", async ({ flock, protein, verdict }) => {
    expect(await rowsOf(flock, "crude_protein")).toMatchObject([
      { value: protein, verdict, requirement_lo: 8, requirement_hi: 10, value_from: "stated" },
    ]);
  });

  const buck = barn({ rations: [ration({ crude_protein_pct_dm: 7.4 })] }, [
    { animal: "buck", sex: "male", born: "2019-01-01" },
    { animal: "kid", sex: "female", born: "2024-02-01" },
  ]);
  test("each class that ate it is held against its own, and where nothing is published it says so", async () => {
    // Langston University extension: 0.26 lb of protein in 3.55 lb of dry matter, 7.3 %
    expect(await rowsOf(buck, "crude_protein", "buck")).toMatchObject([{ verdict: "diet_meets" }]);
    expect(await rowsOf(buck, "crude_protein", "kid")).toMatchObject([
      { verdict: "diet_no_range", requirement_lo: null, source: null },
    ]);
    expect(await rowsOf(buck, "crude_protein", "dry")).toEqual([]);
  });

  const mixed = barn({
    feeds: [
      // by hand: 1.7 kg of dry matter at 9 % and 0.36 at 20 %
      {
        pen: "Barn",
        from: "2024-01-01",
        feed: "hay",
        kg_per_head_day: 2,
        dry_matter_pct: 85,
        crude_protein_pct_dm: 9,
      },
      {
        pen: "Barn",
        from: "2024-01-01",
        feed: "grain",
        kg_per_head_day: 0.4,
        dry_matter_pct: 90,
        crude_protein_pct_dm: 20,
      },
    ],
  });
  test("a ration of feeds is weighed by dry matter", async () => {
    const [row] = await rowsOf(mixed, "crude_protein");
    expect(row!.value).toBeCloseTo((1.7 * 9 + 0.36 * 20) / (1.7 + 0.36), 10);
    expect(row!.value_from).toBe("weighed");
  });

  // 1 kg at 7.3 % and 1 kg at 8.7 % are 8 %, whatever their sum comes to in the last digit
  const mixedToTheLimit = barn({
    feeds: [7.3, 8.7].map((crude_protein_pct_dm, i) => ({
      pen: "Barn",
      from: "2024-01-01",
      feed: `hay ${i}`,
      kg_per_head_day: 0.1,
      dry_matter_pct: 70,
      crude_protein_pct_dm,
    })),
  });
  test("a ration mixed to the limit meets it", async () => {
    expect(await rowsOf(mixedToTheLimit, "crude_protein")).toMatchObject([{ verdict: "diet_meets" }]);
  });

  const changed = barn({
    rations: [
      ration({ crude_protein_pct_dm: 9 }),
      ration({ from: "2024-04-11", crude_protein_pct_dm: 12 }),
      ration({ from: "2024-04-21", crude_protein_pct_dm: 9 }),
    ],
  });
  test("stretch by stretch, from the first day on record to the last", async () => {
    const rows = await rowsOf(changed, "crude_protein");
    expect(rows.map((row) => [isoDay(row.date_from), isoDay(row.date_to), row.value])).toEqual([
      ["2024-04-01", "2024-04-11", 9],
      ["2024-04-11", "2024-04-21", 12],
      ["2024-04-21", "2024-05-01", 9],
    ]);
  });
});

describe("copper of the whole diet", () => {
  const fed = ration({ copper_mg_per_kg_dm: 8, intake_kg_dm_per_head_day: 2 });
  const weighedBack = barn({
    rations: [fed],
    minerals: [mineral({ copper_mg_per_kg: 1500, offered_g_per_head_day: 20, refused_g_per_head_day: 4 })],
  });
  test("adds what was eaten of the mineral, offered less refused, over the dry matter", async () => {
    // by hand: 16 g at 1500 mg/kg are 24 mg, over 2 kg 12 mg/kg more
    expect(await rowsOf(weighedBack, "copper")).toMatchObject([
      { value: 20, value_from: "stated", caution: null, verdict: "copper_meets" },
    ]);
  });

  const offered = barn({
    rations: [fed],
    minerals: [mineral({ copper_mg_per_kg: 1500, offered_g_per_head_day: 20 })],
  });
  test("says where the mineral was offered and never weighed back", async () => {
    expect(await rowsOf(offered, "copper")).toMatchObject([
      { value: 23, value_from: "offered", caution: "offered_not_eaten" },
    ]);
  });

  // by hand: 8 mg/kg in 2 kg are 16 mg, a loose mineral gives 30 and a block 10
  const loose = mineral({ product: "loose", copper_mg_per_kg: 1500, offered_g_per_head_day: 20, to: null });
  const block = mineral({ product: "block", copper_mg_per_kg: 500, offered_g_per_head_day: 20, to: null });
  const beside = barn({ rations: [fed], minerals: [loose, block] });
  const saidToGoOn = barn({
    rations: [fed],
    minerals: [
      { ...loose, to: "2024-12-31" },
      { ...block, from: "2024-02-01" },
    ],
  });
  const replaced = barn({ rations: [fed], minerals: [loose, { ...block, from: "2024-02-01" }] });
  const ofPen = barn({ rations: [fed], minerals: [{ ...loose, pen: null }, block] });
  test("products that stand in a pen together add up; a new one ends an old one that has no end", async () => {
    expect((await rowsOf(beside, "copper"))[0]!.value).toBeCloseTo((16 + 30 + 10) / 2, 12);
    expect((await rowsOf(saidToGoOn, "copper"))[0]!.value).toBeCloseTo((16 + 30 + 10) / 2, 12);
    expect((await rowsOf(replaced, "copper"))[0]!.value).toBeCloseTo((16 + 10) / 2, 12);
    expect((await rowsOf(ofPen, "copper"))[0]!.value).toBeCloseTo((16 + 10) / 2, 12);
  });

  const noMineral = barn({ rations: [fed] });
  test("is the feed's alone where no mineral is on record, and says so", async () => {
    expect(await rowsOf(noMineral, "copper")).toMatchObject([{ value: 8, value_from: "feed" }]);
  });

  const noAmount = barn({ rations: [fed], minerals: [mineral({ copper_mg_per_kg: 1500 })] });
  const noIntake = barn({
    rations: [ration({ copper_mg_per_kg_dm: 8 })],
    minerals: [mineral({ copper_mg_per_kg: 1500, offered_g_per_head_day: 20 })],
  });
  test("is not known where a mineral stands in the pen in no known amount, or over no known intake", async () => {
    expect(await rowsOf(noAmount, "copper")).toEqual([]);
    expect(await rowsOf(noIntake, "copper")).toEqual([]);
  });

  // Requirement of a dry doe 20 (National Research Council 2007, from memory); tolerance 40 (National Research Council
  // 2005, Mineral Tolerance of Animals, from memory).
  const levels = [
    { copper: 19.9, verdict: "copper_below" },
    { copper: 20, verdict: "copper_meets" },
    { copper: 40, verdict: "copper_meets" },
    { copper: 40.1, verdict: "copper_above_tolerance" },
  ].map((one) => ({ ...one, flock: barn({ rations: [ration({ copper_mg_per_kg_dm: one.copper })] }) }));
  test.each(levels)("$copper mg/kg: $verdict", async ({ flock, verdict }) => {
    expect(await rowsOf(flock, "copper")).toMatchObject([{ verdict, tolerance: 40 }]);
  });

  // Sheep: 15 mg/kg (Duncan 1997, In Practice 19:503).
  const shared = (copper: number): string =>
    barn({
      pens: [{ pen: "Barn", sheep_too: true }],
      rations: [ration({ copper_mg_per_kg_dm: copper, crude_protein_pct_dm: 9 })],
    });
  const deadly = shared(15.1);
  const borne = shared(15);
  test("that a goat needs may kill the sheep that share its pen", async () => {
    expect(await rowsOf(deadly, "copper", "sheep")).toMatchObject([{ verdict: "copper_kills_sheep" }]);
    expect(await rowsOf(deadly, "copper")).toMatchObject([{ verdict: "copper_below" }]);
    expect(await rowsOf(borne, "copper", "sheep")).toMatchObject([{ verdict: "copper_under_sheep_limit" }]);
    expect(await rowsOf(noMineral, "copper", "sheep")).toEqual([]);
    expect(await rowsOf(deadly, "crude_protein", "sheep")).toEqual([]);
  });

  // Copper to molybdenum under 4 to 1 thins copper (Hart 2008, goats.extension.org).
  const ratios = [
    { molybdenum: 2.5, ratio: 4, verdict: "diet_meets" },
    { molybdenum: 2.6, ratio: 10 / 2.6, verdict: "thin_molybdenum" },
  ].map((one) => ({
    ...one,
    flock: barn({
      rations: [ration({ copper_mg_per_kg_dm: 10, molybdenum_mg_per_kg_dm: one.molybdenum })],
    }),
  }));
  test.each(ratios)("to $molybdenum of molybdenum: $verdict", async ({ flock, ratio, verdict }) => {
    const [row] = await rowsOf(flock, "copper_to_molybdenum");
    expect(row!.value).toBeCloseTo(ratio, 12);
    expect(row!.verdict).toBe(verdict);
  });
});
