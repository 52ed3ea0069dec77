import { beforeAll, describe, expect, test } from "vitest";
import { type AssociationRow, associationTable } from "../../src/findings/association/association-tables.ts";
import { association } from "../../src/findings/association.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { readCodes } from "../../src/records/codes.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { Random } from "../../src/statistics/random.ts";
import { does, SmallFlocks } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

/** mm per 30 days for one per cent of protein, and log odds of a lame score for one step of wetness, within pens. */
const BY_PROTEIN = 0.4;
const BY_WETNESS = 0.9;

const START = parseIsoDay("2023-01-01")!;
const MONTH = 30;

/**
 * Goats trimmed and scored once in 30 days in pens whose protein and wetness are drawn anew for each 30 days. Growth
 * goes with protein and not with wetness, lameness with wetness and not with protein. `hidden`: what a pen's growth
 * gains for each per cent of its own usual protein by something no sheet records. `ahead`: goats limp by the wetness of
 * so many months later, which can be no cause.
 */
function flockOf(pens: number, goats: number, months: number, seed: number, { hidden = 0, ahead = 0 } = {}) {
  const random = new Random(seed);
  const names = Array.from({ length: pens }, (_, p) => `pen ${p}`);
  const tags = names.map((_, p) => Array.from({ length: goats }, (_, g) => `${p}-${g}`));
  const usual = names.map((_, p) => 10 + (4 * p) / Math.max(1, pens - 1));
  const protein = usual.map((one) => Array.from({ length: months }, () => one + 1.5 * random.normal()));
  const wetness = names.map(() => Array.from({ length: months }, () => random.integer(4)));
  const day = (month: number, of = 0): string => isoDay(START + MONTH * month + of);
  const trims: HerdRow[] = [];
  const gaits: HerdRow[] = [];
  names.forEach((_, p) => {
    const ofPen = 0.3 * random.normal();
    for (const animal of tags[p]!) {
      const ofGoat = 0.5 * random.normal();
      const limp = 0.5 * random.normal() + 0.3 * ofPen;
      for (let month = 0; month <= months; month++) {
        const before = month - 1;
        const grown =
          month === 0
            ? 0
            : 4 +
              ofPen +
              ofGoat +
              BY_PROTEIN * (protein[p]![before]! - usual[p]!) +
              (BY_PROTEIN + hidden) * (usual[p]! - 12) +
              0.6 * random.normal();
        trims.push({
          animal,
          date: day(month),
          foot: "LF",
          claw: "inner",
          trimmed: true,
          toe_before_mm: 30 + grown,
          toe_after_mm: 30,
        });
        if (month === months) continue;
        const odds = -1.2 + limp + BY_WETNESS * (wetness[p]![Math.min(months - 1, month + ahead)]! - 1.5);
        gaits.push({
          animal,
          // the 28 days before are the month's own
          date: day(month, 28),
          gait: random.bernoulli(1 / (1 + Math.exp(-odds))) ? 3 : 1,
          gait_scale: "1-5",
        });
      }
    }
  });
  return {
    animals: does(tags.flat()),
    stays: names.flatMap((pen, p) => tags[p]!.map((animal) => ({ animal, pen, from: "2022-01-01" }))),
    rations: names.flatMap((pen, p) =>
      protein[p]!.map((crude_protein_pct_dm, month) => ({ pen, from: day(month), crude_protein_pct_dm })),
    ),
    ground: names.flatMap((pen, p) =>
      wetness[p]!.flatMap((one, month) =>
        [0, 10, 20].map((of) => ({ pen, date: day(month, of), wetness: String(one) })),
      ),
    ),
    trims,
    gaits,
  };
}

const planted = new SmallFlocks();
planted.add(flockOf(6, 6, 12, 7, { hidden: -1.2 }));
// Each in a book of its own: flocks of one book are also put together, which takes its time.
const foretold = new SmallFlocks();
foretold.add(flockOf(6, 5, 12, 4, { ahead: 1 }));
const small = new SmallFlocks();
const fivePens = small.add(flockOf(5, 3, 8, 2));
const onePen = small.add(flockOf(1, 10, 8, 3));

let found: readonly AssociationRow[];
let ofForetold: readonly AssociationRow[];
let ofSmall: readonly AssociationRow[];
beforeAll(async () => {
  const rows = async (flocks: SmallFlocks): Promise<AssociationRow[]> => {
    const book = await flocks.find([association]);
    try {
      return await readTable(book, associationTable);
    } finally {
      await book.close();
    }
  };
  found = await rows(planted);
  ofForetold = await rows(foretold);
  ofSmall = await rows(small);
});

function rowOf(outcome: string, exposure: string, level = "within_pen", check = "main"): AssociationRow {
  const rows = found.filter(
    (row) =>
      row.outcome === outcome && row.exposure === exposure && row.level === level && row.check === check,
  );
  expect(rows).toHaveLength(1);
  return rows[0]!;
}

describe("a slope that was planted within pens", () => {
  test("of growth on protein: found with its size, per one per cent", () => {
    const row = rowOf("growth", "crude_protein");
    expect(row).toMatchObject({
      effect_kind: "mm_per_30d",
      per: "per_crude_protein(1)",
      pens: 6,
      animals: 36,
    });
    expect(row.lo).toBeGreaterThan(0);
    expect(row.lo).toBeLessThan(BY_PROTEIN);
    expect(row.hi).toBeGreaterThan(BY_PROTEIN);
    // an estimate shrunk toward none is also wrong
    expect(row.effect).toBeGreaterThan(0.75 * BY_PROTEIN);
    expect(row.effect).toBeLessThan(1.25 * BY_PROTEIN);
    expect(row.q).toBeLessThan(0.05);
  });

  test("no more degrees of freedom than pen-months less pens, months and exposures leave", () => {
    const row = rowOf("growth", "crude_protein");
    // 6 pens in 13 calendar months at the most (360 days from the first of January), two exposures
    expect(row.df).toBeGreaterThanOrEqual(3);
    expect(row.df).toBeLessThanOrEqual(6 * 13 - 6 - 12 - 2);
  });

  test("of lameness on wetness: found as odds of its size", () => {
    const row = rowOf("lame", "wetness");
    expect(row).toMatchObject({ effect_kind: "odds_ratio", lag_days: 28 });
    expect(row.lo).toBeGreaterThan(1);
    expect(row.lo).toBeLessThan(Math.exp(BY_WETNESS));
    expect(row.hi).toBeGreaterThan(Math.exp(BY_WETNESS));
    expect(Math.log(row.effect!)).toBeGreaterThan(0.7 * BY_WETNESS);
    expect(row.claim).toBe(true);
  });
});

describe("what was not planted", () => {
  test.each([
    ["growth", "wetness", 0],
    ["lame", "crude_protein", 1],
  ])("%s does not go with %s", (outcome, exposure, none) => {
    const row = rowOf(outcome, exposure);
    expect(row.lo).toBeLessThan(none);
    expect(row.hi).toBeGreaterThan(none);
    expect(row.claim).toBe(false);
  });

  test("wetness after the score does not foretell it beside that before", () => {
    const row = rowOf("lame", "wetness", "within_pen", "future_exposure");
    expect(row.lo).toBeLessThan(1);
    expect(row.hi).toBeGreaterThan(1);
    expect(readCodes(rowOf("lame", "wetness").caution).map(({ id }) => id)).not.toContain("control_failed");
  });

  test("exposures that nobody recorded are named and not asked", () => {
    for (const exposure of ["copper_diet", "mineral_copper", "zinc"]) {
      const row = rowOf("growth", exposure);
      expect(row.effect).toBeNull();
      expect(row.caution).not.toBeNull();
    }
  });
});

describe("pens rich in protein that grow slowly for another reason", () => {
  // between pens 0.4 − 1.2 mm for one per cent, within them 0.4
  test("show it between pens, not within them", () => {
    const between = rowOf("growth", "crude_protein", "between_pen");
    expect(between.hi).toBeLessThan(0);
    expect(between.lo).toBeLessThan(BY_PROTEIN - 1.2);
    expect(between.hi).toBeGreaterThan(BY_PROTEIN - 1.2);
    // six pens: t on four at the most
    expect(between.df).toBeLessThanOrEqual(4);
  });

  test("so that the levels disagree, and no claim is made", () => {
    const row = rowOf("growth", "crude_protein");
    expect(row.p_levels).toBeLessThan(0.1);
    expect(row.claim).toBe(false);
    expect(row.caution).toContain("levels_disagree");
  });
});

test("where wetness to come foretells lameness, the control fails and nothing is claimed", () => {
  const lame = ofForetold.filter(
    (row) => row.outcome === "lame" && row.exposure === "wetness" && row.level === "within_pen",
  );
  expect(lame.find(({ check }) => check === "future_exposure")!.lo).toBeGreaterThan(1);
  const main = lame.find(({ check }) => check === "main")!;
  expect(main.caution).toContain("control_failed");
  expect(main.claim).toBe(false);
});

describe("too little to tell", () => {
  const rowsOf = (flock: string): AssociationRow[] => ofSmall.filter((row) => row.flock === flock);

  test("five pens tell nothing between pens", () => {
    const between = rowsOf(fivePens).filter(({ level }) => level === "between_pen");
    expect(between.every(({ effect }) => effect === null)).toBe(true);
    expect(rowsOf(fivePens).some(({ level, effect }) => level === "within_pen" && effect !== null)).toBe(
      true,
    );
  });

  test("one pen is silent, with a reason for every exposure and outcome", () => {
    const rows = rowsOf(onePen);
    expect(rows.length).toBeGreaterThan(0);
    for (const row of rows) {
      expect(row.effect).toBeNull();
      expect(row.claim).toBe(false);
      expect(row.caution).not.toBeNull();
    }
  });

  test("how long a trim lasts is told of no condition of pens", () => {
    const withheld = rowsOf(fivePens).filter(({ outcome }) => outcome === "time_to_retrim");
    expect(withheld.length).toBeGreaterThan(0);
    for (const row of withheld) expect(row).toMatchObject({ effect: null, caution: "pen_level_withheld" });
  });
});
