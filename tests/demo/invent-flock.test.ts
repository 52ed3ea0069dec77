import { describe, expect, test } from "vitest";
import type { GrowthParameters, LamenessParameters } from "../../src/demo/flock-options.ts";
import { trueOverhang, truthAsPlainData } from "../../src/demo/flock-truth.ts";
import { inventFlock } from "../../src/demo/invent-flock.ts";
import { inventFlocks } from "../../src/demo/invent-flocks.ts";
import { claws } from "../../src/demo/invent-growth.ts";
import type { SheetRow } from "../../src/demo/sheet-row.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { kindIds, kinds } from "../../src/records/kinds.ts";

const farm = inventFlock({ seed: 1, goats: 60, days: 500 });
const study = inventFlock({ seed: 2, goats: 60, days: 730, detail: "study" });

const still: Partial<GrowthParameters> = {
  additiveVariance: 0,
  lineSd: 0,
  permanentSd: 0,
  clawSd: 0,
  intervalSd: 0,
  penSd: 0,
  penMonthSd: 0,
  monthSd: 0,
  seasonAmplitude: 0,
  kid: 0,
  young: 0,
  yearling: 0,
  older: 0,
  latePregnant: 0,
  milking: 0,
  hind: 0,
  outer: 0,
};
const calm: Partial<LamenessParameters> = {
  mean: -2,
  additiveVariance: 0,
  lineSd: 0,
  permanentSd: 0,
  penSd: 0,
  penMonthSd: 0,
  monthSd: 0,
  young: 0,
  older: 0,
  latePregnant: 0,
};

describe("an invented flock", () => {
  test("is the same for the same seed and another for another", () => {
    const again = inventFlock({ seed: 1, goats: 60, days: 500 });
    expect(again.sheets).toEqual(farm.sheets);
    expect(JSON.stringify(truthAsPlainData(again.truth))).toBe(JSON.stringify(truthAsPlainData(farm.truth)));
    expect(inventFlock({ seed: 3, goats: 60, days: 500 }).sheets.trims).not.toEqual(farm.sheets.trims);
  });

  test("writes columns of the records alone, each needed one filled, each choice and bound kept", () => {
    const wrong: string[] = [];
    for (const kind of kindIds) {
      const columns = new Map(kinds[kind].columns.map((column) => [column.name, column]));
      for (const row of farm.sheets[kind]) {
        for (const [name, value] of Object.entries(row)) {
          const column = columns.get(name);
          const choices = column?.choices?.map((choice) => choice.value);
          const { least, most } = column?.bounds ?? { least: Number.NEGATIVE_INFINITY, most: Infinity };
          const inBounds = column?.bounds === undefined || (Number(value) >= least && Number(value) <= most);
          const known = choices?.includes(String(value)) ?? true;
          if (column === undefined || (value !== null && !(inBounds && known))) {
            wrong.push(`${kind}.${name}: ${value}`);
          }
        }
        for (const { name, required } of columns.values()) {
          if (required && (row[name] ?? null) === null) wrong.push(`${kind}.${name} is empty`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  test("fills every kind of sheet that a farm keeps", () => {
    const left = kindIds.filter((kind) => farm.sheets[kind].length === 0);
    expect(left).toEqual(["tags", "trial", "corrections"]);
  });

  test("names every record once", () => {
    for (const kind of kindIds) {
      const keys = farm.sheets[kind].map((row) => kinds[kind].grain.map((column) => row[column]).join("|"));
      expect(new Set(keys).size, kind).toBe(keys.length);
    }
  });

  test("records goats only while they are there", () => {
    const goats = new Map(farm.sheets.animals.map((row) => [row.animal, row]));
    for (const kind of ["trims", "gaits", "lesions", "treatments", "kiddings"] as const) {
      for (const row of farm.sheets[kind]) {
        const goat = goats.get(row.animal) as SheetRow;
        const date = String(row.date);
        if (String(goat.born).length === 10) expect(date >= String(goat.born)).toBe(true);
        if (goat.entered !== null) expect(date >= String(goat.entered)).toBe(true);
        if (goat.left !== null) expect(date < String(goat.left)).toBe(true);
      }
    }
  });

  test("carries the flock's name on every row when it has one", () => {
    const { sheets } = inventFlock({ seed: 4, goats: 8, days: 90, flock: "Elm Hollow" });
    for (const kind of kindIds) for (const row of sheets[kind]) expect(row.flock).toBe("Elm Hollow");
  });

  test("refuses an option out of range by its name", () => {
    expect(() => inventFlock({ seed: 1, goats: 1 })).toThrow(/goats/);
    expect(() => inventFlock({ seed: 1, missingShare: 2 })).toThrow(/missingShare/);
    expect(() => inventFlock({ seed: 1, start: "March" })).toThrow(/start/);
  });

  test("leaves out the share of records that is to be missing", () => {
    const whole = study.sheets.trims.length;
    const { sheets } = inventFlock({ seed: 2, goats: 60, detail: "study", missingShare: 1 / 3 });
    // binomial: six standard errors of the share at this many records are 0.04
    expect(Math.abs(sheets.trims.length / whole - 2 / 3)).toBeLessThan(0.04);
  });
});

describe("its growth", () => {
  test("is found again from the readings", () => {
    const { truth, sheets } = study;
    const tags = new Map(truth.animals.map((animal, i) => [animal.tag, i]));
    let seen = 0;
    let was = 0;
    const intervals = growthIntervals(sheets.trims, "toe");
    for (const { animal, claw, from, to, growth } of intervals) {
      const i = tags.get(animal) as number;
      const start = truth.visits[i].find((visit) => visit.day === from - truth.calendar.first);
      const end = trueOverhang(truth, i, claw, to - truth.calendar.first);
      seen += growth;
      was += end - (start?.after[claw] ?? Number.NaN);
    }
    // readings err by 0.5 mm, a visit by 0.1 mm and rounding by 25.4/16/√12 mm at either end: five standard errors
    const perReading = 0.5 ** 2 + 0.1 ** 2 + (25.4 / 16) ** 2 / 12;
    expect(Math.abs(seen - was) / intervals.length).toBeLessThan(
      5 * Math.sqrt((2 * perReading) / (intervals.length / 8)),
    );
    const days = intervals.reduce((sum, { from, to }) => sum + to - from, 0);
    expect(Math.abs((30 * seen) / days - truth.meanRate)).toBeLessThan(0.2);
  });

  test("lies within the rate published for sheep", () => {
    // 0.11 mm a day, SEM 0.02, so 2.1 to 4.5 mm per 30 days: Shelton, Usherwood, Wapenaar, Brennan, Green 2011,
    // Measurement and error of hoof horn growth rate in sheep, J Agric Sci (Camb); abstract. No goat figure is published.
    for (const { truth } of [farm, study]) {
      expect(truth.meanRate).toBeGreaterThan(2.1);
      expect(truth.meanRate).toBeLessThan(4.5);
    }
  });

  test("is what the sheets say of pens, feed and ground when nothing else is drawn", () => {
    const { sheets, truth } = inventFlock({
      seed: 5,
      goats: 40,
      days: 400,
      pens: 4,
      detail: "study",
      movesPerYear: 1.5,
      lengths: "overhang",
      growth: { ...still, mean: 4, perProteinPct: 0.2, perWetness: -0.4, perCopperMgPerKg: 0.03 },
      ruler: { readingSd: 0, visitSd: 0, stepMm: 0 },
    });
    const wear = new Map(truth.pens.map((pen) => [pen.name, pen.wear]));
    const intervals = growthIntervals(sheets.trims, "overhang");
    expect(intervals.length).toBeGreaterThan(1000);
    for (const { animal, from, to, growth } of intervals.filter((_, k) => k % 23 === 0)) {
      let expected = 0;
      for (let day = from; day < to; day++) {
        const pen = String(standing(sheets.stays, day, { animal }).pen);
        const ration = standing(sheets.rations, day, { pen });
        const wetness = latestScore(sheets.ground, pen, day);
        expected +=
          (4 -
            (wear.get(pen) as number) +
            0.2 * (Number(ration.crude_protein_pct_dm) - 13) +
            0.03 * (Number(ration.copper_mg_per_kg_dm) - 18) -
            0.4 * (wetness - 1)) /
          30;
      }
      expect(growth).toBeCloseTo(expected, 3);
    }
  });

  test("takes copper of the whole diet from the ration, the feeds and the mineral eaten", () => {
    const { sheets, truth } = farm;
    const { first } = truth.calendar;
    for (const pen of truth.pens) {
      for (let d = 3; d < truth.calendar.length; d += 41) {
        const mineral = standing(sheets.minerals, first + d, { pen: pen.name });
        const eaten =
          ((Number(mineral.offered_g_per_head_day) - Number(mineral.refused_g_per_head_day)) / 1000) *
          Number(mineral.copper_mg_per_kg);
        const stated = sheets.rations.filter((row) => row.pen === pen.name);
        const feeds = sheets.feeds.filter((row) => row.pen === pen.name && covers(row, first + d));
        const dryMatter = feeds.reduce((sum, f) => sum + dry(f), 0);
        const ration = stated.length > 0 ? standing(stated, first + d, {}) : null;
        const protein =
          ration === null
            ? feeds.reduce((sum, f) => sum + dry(f) * Number(f.crude_protein_pct_dm), 0) / dryMatter
            : Number(ration.crude_protein_pct_dm);
        const copper =
          ration === null
            ? (feeds.reduce((sum, f) => sum + dry(f) * Number(f.copper_mg_per_kg_dm), 0) + eaten) / dryMatter
            : Number(ration.copper_mg_per_kg_dm) + eaten / Number(ration.intake_kg_dm_per_head_day);
        expect(pen.crudeProtein[d]).toBeCloseTo(protein, 9);
        expect(pen.dietCopper[d]).toBeCloseTo(copper, 9);
        expect(pen.mineralCopper[d]).toBeCloseTo(eaten, 9);
      }
    }
  });
});

describe("its lameness", () => {
  test("comes as often as the wetness of the four weeks before says when nothing else is drawn", () => {
    const { sheets, truth } = inventFlock({
      seed: 6,
      goats: 150,
      detail: "study",
      lameness: { ...calm, perWetness: 0.8 },
    });
    const { first } = truth.calendar;
    const wet = new Map(truth.pens.map((pen) => [pen.name, dailyWetness(sheets.ground, pen.name, first)]));
    const byWetness = { dry: tally(), wet: tally() };
    for (const row of sheets.gaits) {
      const day = parseIsoDay(String(row.date)) as number;
      const pen = String(standing(sheets.stays, day, { animal: String(row.animal) }).pen);
      const before = (wet.get(pen) as number[]).slice(day - first - 28, day - first);
      const mean = before.reduce((sum, value) => sum + value, 0) / 28;
      const p = 1 / (1 + Math.exp(-(-2 + 0.8 * (mean - 1))));
      const group = mean < 1.5 ? byWetness.dry : byWetness.wet;
      group.expected += p;
      group.variance += p * (1 - p);
      if (Number(row.gait) >= 3) group.lame++;
    }
    for (const { lame, expected, variance } of [byWetness.dry, byWetness.wet]) {
      expect(expected).toBeGreaterThan(30);
      expect(Math.abs(lame - expected)).toBeLessThan(4 * Math.sqrt(variance));
    }
  });

  test("spreads over the five-point scale as goats were once scored", () => {
    // 36 % scored 1 and 50 % scored 2: Deeming et al. 2018, J Dairy Sci 101:4491, abstract.
    const { sheets } = inventFlock({ seed: 7, goats: 120, detail: "study" });
    const share = (score: number) =>
      sheets.gaits.filter((row) => row.gait === score).length / sheets.gaits.length;
    expect(Math.abs(share(1) - 0.36)).toBeLessThan(0.1);
    expect(Math.abs(share(2) - 0.5)).toBeLessThan(0.1);
  });

  test("keeps its share of lame scores when bouts last", () => {
    const options = { seed: 8, goats: 300, days: 365, detail: "study" } as const;
    const rates = [0, 40].map((persistenceDays) => {
      const { sheets } = inventFlock({ ...options, lameness: { ...calm, perWetness: 0, persistenceDays } });
      const byGoat = new Map<unknown, number[]>();
      for (const row of sheets.gaits) {
        byGoat.set(row.animal, [...(byGoat.get(row.animal) ?? []), Number(row.gait) >= 3 ? 1 : 0]);
      }
      const series = [...byGoat.values()];
      const all = series.flat();
      const pairs = series.flatMap((own) => own.slice(1).map((lame, k) => [own[k], lame]));
      const lameNow = pairs.filter(([now]) => now === 1);
      return {
        lame: all.reduce((sum, lame) => sum + lame, 0) / all.length,
        again: lameNow.filter(([, next]) => next === 1).length / lameNow.length,
      };
    });
    const expected = 1 / (1 + Math.exp(2));
    for (const { lame } of rates) expect(Math.abs(lame - expected)).toBeLessThan(0.02);
    expect(Math.abs(rates[0].again - expected)).toBeLessThan(0.06);
    expect(rates[1].again).toBeGreaterThan(2 * expected);
  });

  test("calls out goats for cause only where asked, and never sound ones", () => {
    const { sheets } = inventFlock({ seed: 9, goats: 60, days: 365, detail: "study", scoreForCause: true });
    const called = sheets.gaits.filter((row) => row.for_cause === "yes");
    expect(called.length).toBeGreaterThan(5);
    for (const row of called) expect(Number(row.gait)).toBeGreaterThanOrEqual(3);
    expect(study.sheets.gaits.some((row) => row.for_cause !== null)).toBe(false);
  });
});

describe("its plan for simulation", () => {
  test("sets effects to zero on request and nothing else", () => {
    const { truth } = inventFlock({ seed: 2, goats: 60, detail: "study", effects: "none" });
    expect(truth.plan.growth.perWetness).toBe(0);
    expect(truth.plan.lameness.perWetness).toBe(0);
    expect(truth.growth.animalEffects).toEqual(study.truth.growth.animalEffects);
    expect(truth.pens.map((pen) => pen.wetness)).toEqual(study.truth.pens.map((pen) => pen.wetness));
  });

  test("plants a pen confounder along the pens' mean wetness", () => {
    const options = { seed: 2, goats: 60, detail: "study" } as const;
    const { truth } = inventFlock({ ...options, growth: { penConfounder: 0.5 } });
    const shift = truth.growth.penEffects.map((effect, p) => effect - study.truth.growth.penEffects[p]);
    const wetness = truth.pens.map((pen) => pen.wetness.reduce((sum, w) => sum + w, 0));
    const order = (values: ArrayLike<number>) =>
      Array.from(values, (_, p) => p).sort((a, b) => values[a] - values[b]);
    expect(order(shift)).toEqual(order(wetness));
    expect(shift.reduce((sum, s) => sum + s * s, 0) / shift.length).toBeCloseTo(0.25, 9);
  });

  test("plants a slow hidden cause that wets the ground and speeds growth", () => {
    const options = { seed: 2, goats: 60, detail: "study" } as const;
    const { truth } = inventFlock({ ...options, growth: { slowConfounder: 0.5 } });
    truth.pens.forEach((pen, p) => {
      const before = study.truth.pens[p];
      expect(pen.hidden).toEqual(before.hidden);
      for (let d = 0; d < pen.wetness.length; d++) {
        const wetter = pen.wetness[d] - before.wetness[d];
        expect(wetter === 0 || wetter > 0 === pen.hidden[d] > 0).toBe(true);
        const rate = (t: typeof truth) => 30 * (t.growth.penHorn[p][d + 1] - t.growth.penHorn[p][d]);
        const { perWetness, perProteinPct } = truth.plan.growth;
        // wet pens are made the lush ones, so their protein follows
        const byRecords =
          perWetness * wetter + perProteinPct * (pen.crudeProtein[d] - before.crudeProtein[d]);
        expect(rate(truth) - rate(study.truth)).toBeCloseTo(0.5 * pen.hidden[d] + byRecords, 8);
      }
      expect(pen.wetness).not.toEqual(before.wetness);
    });
  });

  test("makes several flocks that differ in their means and share their tags", () => {
    const flocks = inventFlocks(
      { seed: 20, goats: 10, days: 120, detail: "study" },
      { flocks: 3, growthSd: 1 },
    );
    expect(flocks.map(({ sheets }) => sheets.trims[0].flock)).toEqual(["flock 1", "flock 2", "flock 3"]);
    expect(new Set(flocks.map(({ truth }) => truth.plan.growth.mean)).size).toBe(3);
    expect(flocks[1].sheets.animals.map((row) => row.animal)).toEqual(
      flocks[0].sheets.animals.map((row) => row.animal),
    );
    expect(() => inventFlocks({ seed: 1 }, { flocks: 0 })).toThrow(/flocks/);
  });

  test("makes month shocks that hold on as asked", () => {
    const { truth } = inventFlock({
      seed: 10,
      goats: 4,
      days: 19_000,
      detail: "study",
      visitEveryDays: 400,
      scoreEveryDays: 400,
      growth: { monthSd: 1, monthCorrelation: 0.7 },
    });
    const shocks = truth.growth.monthEffects;
    const variance = shocks.reduce((sum, s) => sum + s * s, 0) / shocks.length;
    let products = 0;
    for (let k = 1; k < shocks.length; k++) products += shocks[k] * shocks[k - 1];
    // 627 months: standard error of the correlation about √((1 − 0.49)/627) = 0.03 (Bartlett 1946)
    expect(Math.abs(products / (shocks.length - 1) / variance - 0.7)).toBeLessThan(0.12);
    expect(Math.abs(variance - 1)).toBeLessThan(0.5);
  });
});

interface Interval {
  readonly animal: string;
  readonly claw: number;
  readonly from: number;
  readonly to: number;
  readonly growth: number;
}

/** Successive records of one claw: the first's after where it was trimmed, else its before, to the second's before. */
function growthIntervals(trims: readonly SheetRow[], measure: "toe" | "overhang"): Interval[] {
  const last = new Map<string, { day: number; length: number }>();
  const intervals: Interval[] = [];
  for (const row of trims) {
    const key = `${row.animal}|${row.foot}|${row.claw}`;
    const day = parseIsoDay(String(row.date)) as number;
    const before = Number(row[`${measure}_before_mm`]);
    const start = last.get(key);
    const claw = claws.findIndex((place) => place.foot === row.foot && place.claw === row.claw);
    if (start) {
      intervals.push({
        animal: String(row.animal),
        claw,
        from: start.day,
        to: day,
        growth: before - start.length,
      });
    }
    const after = row[`${measure}_after_mm`];
    last.set(key, { day, length: after === null ? before : Number(after) });
  }
  return intervals;
}

function covers(row: SheetRow, day: number): boolean {
  const from = parseIsoDay(String(row.from)) as number;
  return day >= from && (row.to === null || day < (parseIsoDay(String(row.to)) as number));
}

function standing(rows: readonly SheetRow[], day: number, where: Readonly<Record<string, string>>): SheetRow {
  const fits = rows.filter(
    (row) => Object.entries(where).every(([column, value]) => row[column] === value) && covers(row, day),
  );
  expect(fits.length).toBe(1);
  return fits[0];
}

function latestScore(ground: readonly SheetRow[], pen: string, day: number): number {
  let score = Number.NaN;
  for (const row of ground) {
    if (row.pen === pen && (parseIsoDay(String(row.date)) as number) <= day) score = Number(row.wetness);
  }
  return score;
}

function dailyWetness(ground: readonly SheetRow[], pen: string, first: number): number[] {
  const daily: number[] = [];
  for (const row of ground) {
    if (row.pen !== pen) continue;
    const at = (parseIsoDay(String(row.date)) as number) - first;
    for (let d = at; d < at + 7; d++) daily[d] = Number(row.wetness);
  }
  return daily;
}

const tally = () => ({ lame: 0, expected: 0, variance: 0 });
const dry = (feed: SheetRow): number => (Number(feed.kg_per_head_day) * Number(feed.dry_matter_pct)) / 100;

test("a long flock starts earlier rather than write days that are still to come", () => {
  const days = (options: { days: number; start?: string }): number[] =>
    inventFlock({ seed: 3, goats: 4, detail: "study", ...options }).sheets.trims!.map(
      ({ date }) => parseIsoDay(String(date))!,
    );
  const latest = parseIsoDay("2026-03-01")!;
  expect(Math.min(...days({ days: 730 }))).toBeGreaterThanOrEqual(parseIsoDay("2024-03-01")!);
  const long = days({ days: 1826 });
  expect(Math.max(...long)).toBeLessThan(latest);
  expect(Math.max(...long) - Math.min(...long)).toBeGreaterThan(1700);
  expect(Math.max(...days({ days: 1826, start: "2024-03-01" }))).toBeGreaterThan(latest);
});
