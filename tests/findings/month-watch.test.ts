import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type MonthWatchRow, monthWatch } from "../../src/findings/month-watch.ts";
import { type SignalRow, signal } from "../../src/findings/signal.ts";
import { isoDay } from "../../src/records/days.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([monthWatch, signal]);
});
afterAll(() => book.close());

const monthsOf = (flock: string): Promise<MonthWatchRow[]> =>
  book.rows(
    `SELECT * FROM results.month_watch WHERE flock = ${quoteText(flock)} ORDER BY gait_scale, pen, month`,
  );

const signalsOf = (flock: string): Promise<SignalRow[]> =>
  book.rows(
    `SELECT * REPLACE (day_no(started) AS started, day_no(signalled) AS signalled) FROM results.signal
     WHERE flock = ${quoteText(flock)} ORDER BY signalled`,
  );

const TEN = tagsOf("G", 10);
const herd = { animals: does(TEN), stays: stand(TEN, "Yard") };
const round = (date: string, lame: readonly string[] = [], scale = "1-5"): HerdRow[] =>
  TEN.map((animal) => ({
    animal,
    date,
    gait: lame.includes(animal) ? 3 : Number(scale[0]),
    gait_scale: scale,
  }));

// Spring: 40 scores, every goat lame once in four: no goat is worse than another, so that all are expected alike. With
// half a score added to each side, 10.5 of 41.
const spring = [
  ...round("2024-03-01", TEN.slice(0, 3)),
  ...round("2024-03-15", TEN.slice(3, 6)),
  ...round("2024-04-01", TEN.slice(6, 8)),
  ...round("2024-04-15", TEN.slice(8)),
];
const SHARE = 10.5 / 41;

describe("months against the season before", () => {
  const flock = flocks.add({
    ...herd,
    gaits: [...spring, ...round("2024-06-01", TEN.slice(0, 7)), ...round("2024-07-01", TEN.slice(0, 6))],
  });

  // Limits of a chart of proportions: NIST/SEMATECH e-Handbook, 6.3.3.2.
  test("seven lame of ten lie beyond three standard errors, six do not", async () => {
    const [march, april, june, july] = await monthsOf(flock);
    const half = 3 * Math.sqrt((SHARE * (1 - SHARE)) / 10);
    expect(SHARE + half).toBeGreaterThan(0.6);
    expect(SHARE + half).toBeLessThan(0.7);
    expect(june).toMatchObject({ month: "2024-06", scored: 10, lame: 7, outside: true, lower_limit: 0 });
    expect(june!.centre).toBeCloseTo(SHARE, 9);
    expect(june!.expected).toBeCloseTo(10 * SHARE, 9);
    expect(june!.upper_limit).toBeCloseTo(SHARE + half, 9);
    expect(july).toMatchObject({ month: "2024-07", lame: 6, outside: false });
    // nothing came before the first season
    for (const month of [march, april]) {
      expect(month).toMatchObject({ scored: 20, centre: null, expected: null, outside: false });
    }
  });

  const littleBefore = flocks.add({
    ...herd,
    gaits: [...spring.slice(0, 29), ...round("2024-06-01", TEN)],
  });
  test("twenty-nine scores of a season tell too little of the next", async () => {
    const june = (await monthsOf(littleBefore)).at(-1)!;
    expect(june).toMatchObject({ lame: 10, centre: null, outside: false });
  });

  const otherScale = flocks.add({ ...herd, gaits: [...spring, ...round("2024-06-01", TEN, "0-3")] });
  test("a season on one scale tells nothing of scores on another", async () => {
    const rows = await monthsOf(otherScale);
    expect(rows.find(({ gait_scale }) => gait_scale === "0-3")).toMatchObject({ lame: 10, centre: null });
  });

  const skipped = flocks.add({ ...herd, gaits: [...spring, ...round("2024-09-15", TEN)] });
  test("the season before is the one next to it, not the last with scores", async () => {
    expect((await monthsOf(skipped)).at(-1)).toMatchObject({ month: "2024-09", centre: null });
  });
});

describe("one goat that is always lame", () => {
  const often = [0, 1, 2, 3].flatMap((k) =>
    round(`2024-0${3 + Math.floor(k / 2)}-${k % 2 === 0 ? "01" : "15"}`, ["G0", "G1"]),
  );
  const flock = flocks.add({ ...herd, gaits: [...often, ...round("2024-06-01", ["G0", "G1"])] });
  test("is expected lame, the others are not", async () => {
    const june = (await monthsOf(flock)).at(-1)!;
    // two of ten, as they were: each goat's share is drawn only a little toward the flock's
    expect(june).toMatchObject({ lame: 2, outside: false });
    expect(june.expected).toBeCloseTo(2, 1);
  });
});

describe("a pen's sum of scores against the season before", () => {
  const summer = ["2024-06-01", "2024-06-15", "2024-07-01", "2024-07-15"];
  const risen = flocks.add({
    ...herd,
    gaits: [...spring, ...round(summer[0]!, ["G0"]), ...summer.slice(1).flatMap((date) => round(date, TEN))],
  });
  // Steiner, Cook, Farewell and Treasure 2000 (Biostatistics 1:441-452): a lame score adds ln(2/(1 + p)), a sound one
  // takes ln(1 + p) off.
  test("signals on the round in which it passes its limit, with what was seen and expected", async () => {
    const [first] = await signalsOf(risen);
    expect(isoDay(first!.signalled)).toBe("2024-06-15");
    expect(first!.statistic).toBeGreaterThanOrEqual(first!.limit);
    const scores = Math.round(first!.expected / SHARE);
    expect(first!.expected).toBeCloseTo(scores * SHARE, 9);
    expect(first!.statistic).toBeCloseTo(
      first!.lame * Math.log(2 / (1 + SHARE)) - (scores - first!.lame) * Math.log(1 + SHARE),
      9,
    );
  });

  const steady = flocks.add({
    ...herd,
    gaits: [...spring, ...summer.flatMap((date, i) => round(date, TEN.slice(2 * i, 2 * i + 2)))],
  });
  test("is silent while the share stays what it was", async () => {
    expect(await signalsOf(steady)).toEqual([]);
  });

  const short = flocks.add({ ...herd, gaits: [...spring, ...round(summer[0]!, TEN).slice(0, 10)] });
  test("is not kept for ten scores", async () => {
    expect(await signalsOf(short)).toEqual([]);
  });
});
