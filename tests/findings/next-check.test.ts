import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { cases } from "../../src/findings/case.ts";
import { growthVariances } from "../../src/findings/growth-variances.ts";
import { type NextCheckRow, nextCheck, nextCheckTable } from "../../src/findings/next-check.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { readCodes } from "../../src/records/codes.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { Random } from "../../src/statistics/random.ts";
import { does, SmallFlocks, stand } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([growthVariances, cases, nextCheck]);
});
afterAll(() => book.close());

async function listOf(flock: string): Promise<readonly NextCheckRow[]> {
  const rows = await readTable(book, nextCheckTable, `flock = ${quoteText(flock)}`);
  return rows.sort((a, b) => a.look_order - b.look_order);
}

async function rowOf(flock: string, animal: string): Promise<NextCheckRow> {
  const row = (await listOf(flock)).find((one) => one.animal === animal);
  if (row === undefined) throw new Error(`${animal} is not on the list`);
  return row;
}

const cautionsOf = (row: NextCheckRow): string[] => readCodes(row.caution).map(({ id }) => id);
const windowOf = (row: NextCheckRow): string[] => [isoDay(row.check_from), isoDay(row.check_by)];

const TODAY = "2024-06-01";
const ago = (days: number): string => isoDay(parseIsoDay(TODAY)! - days);
const trimmed = (animal: string, date: string, more: HerdRow = {}): HerdRow => ({
  animal,
  date,
  trimmed: true,
  stage: null,
  overhang_after_mm: null,
  overgrowth: null,
  ...more,
});
const scored = (animal: string, date: string, gait: number): HerdRow => ({
  animal,
  date,
  gait,
  gait_scale: "1-5",
});

describe("a flock that writes down trim dates alone", () => {
  // Windows: 6 to 10 weeks after the last look (42 to 70 days); stages 3 to 14 days on; both common practice, no source.
  const tags = [
    ...["lame", "treated", "soon", "sore", "smelly", "healed"],
    ...["staged", "last stage", "left long", "never", "scored", "long ago", "on the day", "routine"],
    ...["curled", "curled lame", "in kid", "not yet in kid", "gone"],
  ];
  const flock = flocks.add({
    animals: does(tags).map((row) => ({ ...row, left: row.animal === "gone" ? ago(1) : null })),
    stays: stand(tags, "Yard"),
    trims: [
      ...["lame", "treated", "soon", "sore", "smelly", "healed", "routine", "gone"].map((tag) =>
        trimmed(tag, ago(20)),
      ),
      trimmed("staged", ago(7), { stage: "1 of 3" }),
      trimmed("last stage", ago(7), { stage: "3 of 3" }),
      // 3.2 and 3 mm more are the limit above which a claw was left long on purpose
      trimmed("left long", ago(7), { overhang_after_mm: 6.3 }),
      trimmed("on the day", ago(70)),
      trimmed("long ago", ago(71)),
      trimmed("curled", ago(20), { overgrowth: 3 }),
      trimmed("curled lame", ago(20), { overgrowth: 3 }),
      trimmed("in kid", ago(20)),
      trimmed("not yet in kid", ago(20)),
    ],
    gaits: [
      scored("lame", ago(4), 4),
      scored("treated", ago(4), 4),
      scored("soon", ago(3), 3),
      scored("curled lame", ago(1), 3),
      scored("healed", ago(30), 4),
      scored("healed", ago(0), 1),
      scored("scored", ago(15), 1),
      // a gait alone does not stand for a look at the feet of a goat whose feet are looked at
      scored("routine", ago(2), 1),
    ],
    lesions: [
      { animal: "sore", date: ago(2), foot: "LF", lesion: "footrot", smell: null },
      { animal: "smelly", date: ago(2), foot: "LF", lesion: "crack", smell: true },
    ],
    treatments: [{ animal: "treated", date: ago(3), treatment: "antibiotic" }],
    kiddings: [
      { animal: "in kid", date: ago(-42), kids: 2 },
      { animal: "not yet in kid", date: ago(-43), kids: 2 },
    ],
  });

  test("lists every goat present once, numbered from 1 in both orders, and none that left", async () => {
    const rows = await listOf(flock);
    expect(rows.map(({ animal }) => animal).sort()).toEqual(tags.filter((tag) => tag !== "gone").sort());
    const places = rows.map((_, i) => i + 1);
    expect(rows.map(({ look_order }) => look_order)).toEqual(places);
    expect(rows.map(({ trim_order }) => trim_order).sort((a, b) => a - b)).toEqual(places);
  });

  test("lame, sore and smelling goats are looked at today, whatever the weeks say", async () => {
    for (const [animal, reason] of [
      ["lame", "lame_now(4)"],
      ["sore", "sore_now(footrot)"],
      ["smelly", "sore_now(crack);smell_now"],
    ] as const) {
      const row = await rowOf(flock, animal);
      expect(row).toMatchObject({ urgency: "now", reason });
      expect(windowOf(row)).toEqual([TODAY, TODAY]);
    }
  });

  test("a look that found it sound closes the case", async () => {
    expect(await rowOf(flock, "healed")).toMatchObject({ urgency: "routine", reason: "within_weeks(10)" });
  });

  // Treated within 3 days of seeing it: Warwick, advice on lame sheep.
  test("lame for more than three days without treatment is for the vet today", async () => {
    expect(cautionsOf(await rowOf(flock, "lame"))).toContain("vet_today");
    expect(cautionsOf(await rowOf(flock, "treated"))).not.toContain("vet_today");
    expect(cautionsOf(await rowOf(flock, "soon"))).not.toContain("vet_today");
  });

  test("a stage that is not the last, and a claw left long, come back 3 to 14 days on", async () => {
    const staged = await rowOf(flock, "staged");
    expect(staged).toMatchObject({ urgency: "staged", reason: "staged_next(2)" });
    // the trim was on 2024-05-25
    expect(windowOf(staged)).toEqual(["2024-05-28", "2024-06-08"]);
    expect(await rowOf(flock, "left long")).toMatchObject({ urgency: "staged", reason: "left_long" });
    expect(await rowOf(flock, "last stage")).toMatchObject({ urgency: "routine" });
  });

  test("the others fall six to ten weeks after the last look, due on the last day of it", async () => {
    const routine = await rowOf(flock, "routine");
    expect(routine).toMatchObject({
      urgency: "routine",
      reason: "within_weeks(10)",
      basis: "trim dates only",
      days_since_look: 20,
      p_over_limit_on_check_by: null,
      expected_overhang_mm: null,
    });
    expect(cautionsOf(routine)).toContain("trim_dates_only");
    // 2024-05-12 and 42 and 70 days
    expect(windowOf(routine)).toEqual(["2024-06-23", "2024-07-21"]);
    expect(await rowOf(flock, "on the day")).toMatchObject({ urgency: "due", reason: "within_weeks(10)" });
    expect(await rowOf(flock, "long ago")).toMatchObject({ urgency: "due", reason: "past_longest_gap(10)" });
  });

  test("where feet were never looked at the gait tells the last look; with neither it is due today", async () => {
    expect(await rowOf(flock, "scored")).toMatchObject({ days_since_look: 15, last_trim: null });
    const never = await rowOf(flock, "never");
    expect(never).toMatchObject({
      urgency: "due",
      reason: "never_looked_at",
      basis: "no record",
      last_look: null,
    });
    expect(windowOf(never)).toEqual([TODAY, TODAY]);
  });

  test("a foot folded under is taken down in stages, by the vet where the goat is lame", async () => {
    const curled = await rowOf(flock, "curled");
    expect(curled.reason).toContain("severe_overgrowth");
    expect(cautionsOf(curled)).toContain("in_stages");
    expect(cautionsOf(curled)).not.toContain("vet_first");
    expect(cautionsOf(await rowOf(flock, "curled lame"))).toEqual(
      expect.arrayContaining(["in_stages", "vet_first"]),
    );
  });

  // Six weeks: common practice, no source.
  test("a doe within six weeks of kidding is handled as little as possible", async () => {
    expect(cautionsOf(await rowOf(flock, "in kid"))).toContain("late_in_kid");
    expect(cautionsOf(await rowOf(flock, "not yet in kid"))).not.toContain("late_in_kid");
  });

  test("looked at: sore and smelling feet, the lame, stages, never looked at, due, the rest", async () => {
    const rows = await listOf(flock);
    const at = (animal: string): number => rows.find((row) => row.animal === animal)!.look_order;
    expect([at("sore"), at("smelly")].sort()).toEqual([1, 2]);
    const groups = [
      ["sore", "smelly"],
      ["lame", "treated", "soon", "curled lame"],
      ["staged", "left long"],
      ["never"],
      ["long ago"],
      ["on the day"],
      ["scored", "routine", "healed", "in kid"],
    ];
    groups.slice(1).forEach((group, i) => {
      const last = Math.max(...groups[i]!.map(at));
      for (const animal of group) expect(at(animal), animal).toBeGreaterThan(last);
    });
  });

  test("trimmed: sound feet first, the lame after them, sore and smelling feet last", async () => {
    const rows = await listOf(flock);
    const at = (animal: string): number => rows.find((row) => row.animal === animal)!.trim_order;
    expect([at("sore"), at("smelly")].sort((a, b) => a - b)).toEqual([rows.length - 1, rows.length]);
    const lame = ["lame", "treated", "soon", "curled lame"].map(at);
    const sound = rows.filter(({ urgency }) => urgency !== "now").map(({ animal }) => at(animal));
    expect(Math.min(...lame)).toBeGreaterThan(Math.max(...sound));
    for (const animal of ["sore", "smelly"]) {
      expect(cautionsOf(await rowOf(flock, animal))).toContain("look_first_trim_last");
    }
    expect(cautionsOf(await rowOf(flock, "lame"))).not.toContain("look_first_trim_last");
  });
});

describe("a flock that measures overhang", () => {
  const goats = Array.from({ length: 8 }, (_, i) => `G${i}`);
  const visits = [133, 91, 49, 7];
  /**
   * Trimmed to 3 mm at each visit (the last goat's left outer claw to 6), growing at a steady rate but for a
   * little of each goat and interval, mm per 30 days; read with an error of 0.3 mm.
   */
  function measured(rate: number): string {
    const random = new Random(5);
    const trims = goats.flatMap((animal, g) => {
      const ofGoat = 0.1 * random.normal();
      return visits.flatMap((since, v) => {
        const ofInterval = 0.1 * random.normal();
        const days = v === 0 ? 42 : visits[v - 1]! - since;
        return ["LF", "RF"].flatMap((foot) =>
          ["inner", "outer"].map((claw): HerdRow => {
            const left = g === 7 && foot === "LF" && claw === "outer" ? 6 : 3;
            return {
              animal,
              date: ago(since),
              foot,
              claw,
              trimmed: true,
              overhang_before_mm: left + ((rate + ofGoat + ofInterval) * days) / 30 + 0.3 * random.normal(),
              overhang_after_mm: left,
            };
          }),
        );
      });
    });
    return flocks.add({
      animals: does(goats),
      stays: stand(goats, "Yard"),
      trims,
      gaits: [scored("G0", TODAY, 1)],
    });
  }

  const fast = measured(6);
  const middling = measured(3.4);
  const slow = measured(1);

  test("fast horn is due on the first day of the window, slow horn on the last", async () => {
    for (const row of await listOf(fast)) {
      // 7 days ago and 42: at 6 mm a month 3 mm become 11.4, past 9.5
      expect(row.check_from).toBe(parseIsoDay(ago(7))! + 42);
      expect(row.check_by).toBe(row.check_from);
      expect(row.reason).toContain("long_expected");
      expect(row.p_over_limit_on_check_by).toBeGreaterThan(0.9);
    }
    for (const row of await listOf(slow)) {
      expect(row.check_by).toBe(parseIsoDay(ago(7))! + 70);
      expect(row).toMatchObject({ urgency: "routine", reason: "within_weeks(10)" });
      // 3 mm and 70 days at 1 mm a month are 5.3
      expect(row.p_over_limit_on_check_by).toBeLessThan(0.05);
    }
  });

  test("in between, the first day on which the chance reaches one in five", async () => {
    const row = await rowOf(middling, "G1");
    // at 3.4 mm a month 9.5 is reached after 57 days: a chance of one in five comes somewhat earlier
    const days = row.check_by - parseIsoDay(ago(7))!;
    expect(days).toBeGreaterThan(42);
    expect(days).toBeLessThan(57);
    expect(row.p_over_limit_on_check_by).toBeGreaterThanOrEqual(0.2);
    // one day more of horn at these small spreads moves a chance by a few points
    expect(row.p_over_limit_on_check_by).toBeLessThan(0.35);
    expect(row).toMatchObject({ basis: "own measures" });
    expect(row.expected_overhang_mm).toBeCloseTo(3 + (3.4 * days) / 30, 0);
  });

  test("a claw left longer is the one to look at, and brings its goat's day forward", async () => {
    const [row, other] = [await rowOf(middling, "G7"), await rowOf(middling, "G3")];
    expect(row).toMatchObject({ worst_foot: "LF", worst_claw: "outer" });
    expect(row.check_by).toBeLessThan(other.check_by);
    expect(row.expected_overhang_mm!).toBeGreaterThan(3 + (3.4 * (row.check_by - parseIsoDay(ago(7))!)) / 30);
  });
});
