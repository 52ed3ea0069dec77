import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type LamenessRow, lameness, lamenessTable } from "../../src/findings/lameness.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([lameness]);
});
afterAll(() => book.close());

/** The rows of a flock over all seasons. */
function rowsOf(flock: string): Promise<LamenessRow[]> {
  return readTable(book, lamenessTable, `season = 'all' AND flock = ${quoteText(flock)}`);
}

/** The one row of a flock as a whole. */
async function flockRow(flock: string): Promise<LamenessRow> {
  const rows = (await rowsOf(flock)).filter(({ group_kind }) => group_kind === "flock");
  expect(rows).toHaveLength(1);
  return rows[0]!;
}

/** One round: every tag at the scale's best but those named, whose scores are given. */
function round(
  tags: readonly string[],
  date: string,
  scores: Readonly<Record<string, number>> = {},
  scale = "1-5",
): HerdRow[] {
  return tags.map((animal) => ({
    animal,
    date,
    gait: scores[animal] ?? Number(scale[0]),
    gait_scale: scale,
  }));
}

/** The same score for every tag. */
const all = (tags: readonly string[], score: number): Record<string, number> =>
  Object.fromEntries(tags.map((tag) => [tag, score]));

/** Wilson's score interval, written out (Wilson 1927, J. Am. Stat. Assoc. 22:209-212). */
function wilson(p: number, n: number, z: number): { lo: number; hi: number } {
  const centre = (p + (z * z) / (2 * n)) / (1 + (z * z) / n);
  const half = (z / (1 + (z * z) / n)) * Math.sqrt((p * (1 - p)) / n + (z * z) / (4 * n * n));
  return { lo: centre - half, hi: centre + half };
}

/** 97.5th percentile of Student's t on 9 degrees of freedom, any table. */
const T9 = 2.2621571627409915;

const TEN = tagsOf("G", 10);
const tenInOnePen = { animals: does(TEN), stays: stand(TEN, "Yard") };

describe("animals ever lame", () => {
  // Newcombe 1998, Stat. Med. 17:857-872, table I, method 3 (from memory): 1 of 29 gives 0.0061 to 0.1718, 0 of 20
  // gives 0 to 0.1611.
  const published = [
    { lame: 1, count: 29, lo: 0.0061, hi: 0.1718 },
    { lame: 0, count: 20, lo: 0, hi: 0.1611 },
  ].map((one) => {
    const tags = tagsOf("G", one.count);
    const gaits = round(tags, "2024-05-15", all(tags.slice(0, one.lame), 3));
    return { ...one, flock: flocks.add({ animals: does(tags), stays: stand(tags, "Yard"), gaits }) };
  });
  test.each(published)("$lame of $count has the published limits", async ({ flock, lame, count, lo, hi }) => {
    const row = await flockRow(flock);
    expect(row).toMatchObject({ scored_animals: count, lame_animals: lame, prevalence: lame / count });
    expect(row.lo).toBeCloseTo(lo, 4);
    expect(row.hi).toBeCloseTo(hi, 4);
  });

  const four = flocks.add({
    animals: does(TEN.slice(0, 4)),
    gaits: round(TEN.slice(0, 4), "2024-05-15", { G0: 4 }),
  });
  test("four animals are too few for a share, and the page is told", async () => {
    const row = await flockRow(four);
    expect(row).toMatchObject({
      scored_animals: 4,
      lame_animals: 1,
      prevalence: null,
      lo: null,
      point_prevalence: null,
      incidence_100_animal_months: null,
    });
    expect(row.caution).toContain("too_few_animals(4,5)");
  });

  const twoAndThree = { ...tenInOnePen, gaits: round(TEN, "2024-05-15", { G0: 2, G1: 3 }) };
  const byScale = flocks.add(twoAndThree);
  const byOwnMark = flocks.add(twoAndThree, { gait_scale: "1-5", lame_from: 2 });
  test("the mark from which a score counts as lame is the flock's own", async () => {
    expect(await flockRow(byScale)).toMatchObject({ lame_animals: 1, lame_from: 3 });
    expect(await flockRow(byOwnMark)).toMatchObject({ lame_animals: 2, lame_from: 2 });
  });
});

describe("two rounds of ten goats a month apart", () => {
  // G0 and G1 are lame both times, G2 only at the second.
  const gaits = [
    ...round(TEN, "2024-04-01", { G0: 3, G1: 3 }),
    ...round(TEN, "2024-05-01", { G0: 3, G1: 4, G2: 3 }),
  ];
  const onePen = flocks.add({ ...tenInOnePen, gaits });

  test("how many are lame on a day: Wilson at the effective sample size, t on 9", async () => {
    const row = await flockRow(onePen);
    expect(row).toMatchObject({ scores: 20, lame_scores: 5, point_prevalence: 0.25 });
    // by hand: residuals 1.5, 1.5, 0.5 and seven of -0.5; variance 10/9·6.5 over 20·0.25·0.75
    const designEffect = ((10 / 9) * 6.5) / (20 * 0.25 * 0.75);
    const { lo, hi } = wilson(0.25, 20 / designEffect, T9);
    expect(row.point_lo).toBeCloseTo(lo, 9);
    expect(row.point_hi).toBeCloseTo(hi, 9);
  });

  test("new cases over the days of those that were sound, exact Poisson", async () => {
    const row = await flockRow(onePen);
    expect(row).toMatchObject({ new_cases: 1, animal_days_at_risk: 240, median_gap_days: 30, recovered: 0 });
    // 240 days are 0.08 of 100 animal-months; limits of one event (Garwood 1936, Biometrika 28:437-442): 0.0253, 5.5716
    expect(row.incidence_100_animal_months).toBeCloseTo(12.5, 12);
    expect(row.inc_lo! * 0.08).toBeCloseTo(0.0253, 4);
    expect(row.inc_hi! * 0.08).toBeCloseTo(5.5716, 4);
  });

  const sound = flocks.add({
    ...tenInOnePen,
    gaits: [...round(TEN, "2024-04-01"), ...round(TEN, "2024-05-01")],
  });
  test("where all scores agree each animal counts as one trial", async () => {
    const row = await flockRow(sound);
    expect(row).toMatchObject({ point_prevalence: 0, point_lo: 0 });
    expect(row.point_hi).toBeCloseTo(wilson(0, 10, T9).hi, 9);
  });

  const [near, far] = [TEN.slice(0, 5), TEN.slice(5)];
  const twoPens = flocks.add({
    animals: does(TEN),
    stays: [...stand(near, "Near"), ...stand(far, "Far")],
    gaits,
  });
  test("pens keep their own goats, and what pens differ by is no chance of animals", async () => {
    const rows = await rowsOf(twoPens);
    const pen = (name: string) => rows.find((row) => row.group_kind === "pen" && row.group_value === name)!;
    expect(pen("Near")).toMatchObject({ scored_animals: 5, lame_animals: 3, scores: 10, lame_scores: 5 });
    expect(pen("Far")).toMatchObject({ scored_animals: 5, lame_animals: 0, scores: 10, lame_scores: 0 });
    // by hand: about their own pen's mean, Near's residuals are 1, 1, 0, -1, -1, Far's none: 5/4·4
    const flock = rows.find((row) => row.group_kind === "flock")!;
    const designEffect = ((5 / 4) * 4) / (20 * 0.25 * 0.75);
    expect(designEffect).toBeGreaterThan(1);
    expect(flock.point_hi).toBeCloseTo(wilson(0.25, 20 / designEffect, T9).hi, 9);
  });
});

describe("what lies between two scores", () => {
  // 2024-01-01 and 2024-04-30 are 120 days apart, 2024-05-01 121
  const gaps = [
    { second: "2024-04-30", cases: 10, days: 1200 },
    { second: "2024-05-01", cases: 0, days: 0 },
  ].map((one) => ({
    ...one,
    flock: flocks.add({
      ...tenInOnePen,
      gaits: [...round(TEN, "2024-01-01"), ...round(TEN, one.second, all(TEN, 5))],
    }),
  }));
  test.each(gaps)("a gap that ends on $second gives $cases new cases", async ({ flock, cases, days }) => {
    const row = await flockRow(flock);
    expect(row).toMatchObject({ new_cases: cases, animal_days_at_risk: days, lame_animals: 10 });
    expect(row.incidence_100_animal_months === null).toBe(cases === 0);
  });

  const again = flocks.add({
    ...tenInOnePen,
    gaits: [
      ...round(TEN, "2024-01-01", { G0: 4 }),
      ...round(TEN, "2024-01-31"),
      ...round(TEN, "2024-03-01", { G0: 3 }),
    ],
  });
  test("an animal that is lame again after a sound score is a new case, and still one lame animal", async () => {
    const row = await flockRow(again);
    expect(row).toMatchObject({ lame_animals: 1, new_cases: 1, recovered: 1 });
    // nine goats for both gaps of 30 days, G0 for the second alone
    expect(row.animal_days_at_risk).toBe(9 * 60 + 30);
  });

  const months = ["01-01", "01-31", "03-01", "03-31", "04-30", "05-30", "06-29"].map((day) => `2024-${day}`);
  const overAndOver = flocks.add({
    ...tenInOnePen,
    gaits: months.flatMap((date, i) => round(TEN, date, i % 2 === 1 ? { G0: 3, G1: 3 } : {})),
  });
  // Stukel, Glynn, Fisher et al. 1994 (Stat. Med. 13:1781-1791): the ratio of the animals' variance to Poisson's.
  test("the same goats over and over widen the limits of new cases", async () => {
    const row = await flockRow(overAndOver);
    // G0 and G1 fall lame three times each within the 90 days they start sound, the others never in 180
    const days = 2 * 90 + 8 * 180;
    expect(row).toMatchObject({ new_cases: 6, animal_days_at_risk: days });
    const squares = 2 * (3 - (90 * 6) / days) ** 2 + 8 * ((180 * 6) / days) ** 2;
    const ratio = ((10 / 9) * squares) / 6;
    expect(ratio).toBeGreaterThan(1);
    // Garwood's lower limit solves P(at least x events) = 0.025, x = 6/ratio: a share of the gamma integral
    const lower = (row.inc_lo! * days) / 3000 / ratio;
    expect(gammaIntegral(6 / ratio, lower) / gammaIntegral(6 / ratio, 60)).toBeCloseTo(0.025, 6);
  });
});

/** ∫₀ˣ t^(s−1)·e^(−t) dt by Simpson's rule on t = v². */
function gammaIntegral(s: number, x: number): number {
  const steps = 40_000;
  const top = Math.sqrt(x);
  let sum = 0;
  for (let i = 1; i <= steps; i++) {
    const v = (top * i) / steps;
    sum += (i === steps ? 1 : i % 2 === 1 ? 4 : 2) * 2 * v ** (2 * s - 1) * Math.exp(-v * v);
  }
  return (sum * top) / steps / 3;
}

describe("scored because it limps", () => {
  const months = ["2024-01-01", "2024-01-31", "2024-03-01", "2024-03-31"];
  const rounds = months.flatMap((date) => round(TEN, date));
  const score = (animal: string, date: string, said: boolean | null = null): HerdRow => ({
    animal,
    date,
    gait: 4,
    gait_scale: "1-5",
    for_cause: said,
  });
  const withScores = (...extra: readonly HerdRow[]): string =>
    flocks.add({ ...tenInOnePen, gaits: [...rounds, ...extra] });

  const one = withScores(score("G0", "2024-01-12"));
  test("soon, alone, in a flock that scores in rounds: out of the day's figure, kept among the cases", async () => {
    const row = await flockRow(one);
    expect(row).toMatchObject({
      for_cause: 1,
      scores: 40,
      lame_scores: 0,
      point_prevalence: 0,
      lame_animals: 1,
      new_cases: 1,
    });
    expect(row.caution).toContain("for_cause_apart(1)");
    // one lame in 41 is 2.4 points: under three, so only one reading is shown
    expect(row.point_with_for_cause).toBeNull();
  });

  const three = withScores(score("G0", "2024-01-12"), score("G1", "2024-02-12"), score("G2", "2024-03-12"));
  test("both readings are given where they lie three points apart", async () => {
    const row = await flockRow(three);
    expect(row).toMatchObject({ for_cause: 3, point_prevalence: 0 });
    expect(row.point_with_for_cause).toBeCloseTo(3 / 43, 12);
  });

  // each case lacks one of the conditions; the median gap is 30 days
  const lacking = [
    { why: "not sooner than half the median gap", extra: [score("G0", "2024-01-16")] },
    {
      why: "three of the pen scored that week",
      extra: TEN.slice(0, 3).map((tag) => score(tag, "2024-01-12")),
    },
    { why: "within the week of a round", extra: [score("G0", "2024-01-07")] },
  ].map((given) => ({ ...given, flock: withScores(...given.extra) }));
  test.each(lacking)("not when $why", async ({ flock, extra }) => {
    expect(await flockRow(flock)).toMatchObject({ for_cause: 0, lame_scores: extra.length });
  });

  const two = ["G0", "G1"].map((tag) => score(tag, "2024-01-12"));
  const twoOfTen = withScores(...two);
  const five = TEN.slice(0, 5);
  const twoOfFive = flocks.add({
    animals: does(five),
    stays: stand(five, "Yard"),
    gaits: [...months.flatMap((date) => round(five, date)), ...two],
  });
  test("two of ten are still alone, two of five are not", async () => {
    expect(await flockRow(twoOfTen)).toMatchObject({ for_cause: 2 });
    expect(await flockRow(twoOfFive)).toMatchObject({ for_cause: 0 });
  });

  const withNew = [...TEN, "New"];
  const newcomer = flocks.add({
    animals: does(withNew),
    stays: stand(withNew, "Yard"),
    gaits: [...rounds, score("New", "2024-02-12")],
  });
  test("an animal's first score is not sooner than anything", async () => {
    expect(await flockRow(newcomer)).toMatchObject({ for_cause: 0, lame_scores: 1 });
  });

  const said = withScores(score("G0", "2024-02-20", true));
  test("the sheet's own word counts whatever the gaps", async () => {
    expect(await flockRow(said)).toMatchObject({ for_cause: 1, lame_scores: 0 });
  });

  // every animal on days of its own: scored again after 20 and after 5 days, so that the median gap is 12.5
  const singly = flocks.add({
    ...tenInOnePen,
    gaits: TEN.flatMap((animal, i) =>
      [0, 20, 25].map((day) => ({
        animal,
        date: new Date(Date.UTC(2022, 0, 1 + 60 * i + day)).toISOString().slice(0, 10),
        gait: 3,
        gait_scale: "1-5",
      })),
    ),
  });
  test("a flock scored one goat at a time sets nothing apart, and says so", async () => {
    const row = await flockRow(singly);
    expect(row).toMatchObject({ for_cause: 0, scores: 30, median_gap_days: 12.5 });
    expect(row.caution).toContain("scored_singly");
  });
});

describe("scales", () => {
  const both = flocks.add({
    ...tenInOnePen,
    gaits: [
      ...round(TEN, "2024-04-01"),
      ...round(TEN, "2024-05-01", { G0: 2, G1: 3 }, "0-3"),
      ...round(TEN, "2024-05-31", { G0: 3 }),
    ],
  });
  test("are never mixed: neither in shares nor from one score to the next", async () => {
    const rows = (await rowsOf(both)).filter(({ group_kind }) => group_kind === "flock");
    expect(rows.map(({ gait_scale }) => gait_scale)).toEqual(["0-3", "1-5"]);
    // on 0-3 goats are lame from 2 and were scored once; on 1-5 the two rounds lie 60 days apart
    expect(rows[0]).toMatchObject({ lame_animals: 2, scores: 10, new_cases: 0, median_gap_days: null });
    expect(rows[1]).toMatchObject({ lame_animals: 1, scores: 20, new_cases: 1, median_gap_days: 60 });
  });
});

describe("several scorers, and rounds", () => {
  const twice = TEN.flatMap((animal) => [
    { animal, date: "2024-05-15", gait: animal === "G0" ? 3 : 1, gait_scale: "1-5", scorer: "Ann" },
    { animal, date: "2024-05-15", gait: animal === "G1" ? 3 : 1, gait_scale: "1-5", scorer: "Bob" },
  ]);
  const byWorse = flocks.add({ ...tenInOnePen, gaits: twice });
  const byFirst = flocks.add({ ...tenInOnePen, gaits: twice }, { scorers: ["Bob"] });
  test("an animal counts once a day, by the worse score or the scorer named first", async () => {
    expect(await flockRow(byWorse)).toMatchObject({ scores: 10, lame_animals: 2 });
    expect(await flockRow(byFirst)).toMatchObject({ scores: 10, lame_animals: 1 });
  });

  const lameAlone = [{ animal: "G0", date: "2024-05-15", gait: 4, gait_scale: "1-5" }];
  const word = { date: "2024-05-15", pen: "Yard", gait_scale: "1-5", lame: 1 };
  const othersSound = flocks.add({
    ...tenInOnePen,
    gaits: lameAlone,
    rounds: [{ ...word, others_sound: true }],
  });
  const notSaid = flocks.add({
    ...tenInOnePen,
    gaits: lameAlone,
    rounds: [{ ...word, others_sound: false }],
  });
  test("a round's word on the others counts as sound, marked, only where it was given", async () => {
    const row = await flockRow(othersSound);
    expect(row).toMatchObject({ assumed_sound: 9, scores: 10, lame_scores: 1, point_prevalence: 0.1 });
    expect(row.caution).toContain("assumed_sound(9)");
    // without the nine only one animal has a score: no share
    expect(row.point_without_assumed).toBeNull();
    expect(await flockRow(notSaid)).toMatchObject({ assumed_sound: 0, scores: 1, point_prevalence: null });
  });

  const [near, far] = [TEN.slice(0, 6), TEN.slice(6)];
  const ofAPen = flocks.add({
    animals: does(TEN),
    stays: [...stand(near, "Near"), ...stand(far, "Far")],
    gaits: [...round(near, "2024-05-15", { G0: 3 }), ...round(far.slice(0, 1), "2024-05-15", { G6: 3 })],
    rounds: [{ ...word, pen: "Far", others_sound: true }],
  });
  test("a round speaks of its own pen alone, and the figure is given without its word too", async () => {
    const row = await flockRow(ofAPen);
    expect(row).toMatchObject({ assumed_sound: 3, scores: 10, lame_scores: 2, point_prevalence: 0.2 });
    expect(row.point_without_assumed).toBeCloseTo(2 / 7, 12);
  });
});

describe("how badly lame goats limp", () => {
  const tags = tagsOf("G", 22);
  const [near, far] = [tags.slice(0, 11), tags.slice(11)];
  const flock = flocks.add({
    animals: does(tags),
    stays: [...stand(near, "Near"), ...stand(far, "Far")],
    gaits: round(tags, "2024-05-15", {
      ...all(near.slice(0, 4), 5),
      ...all(near.slice(4, 6), 3),
      ...all(far.slice(0, 1), 5),
      ...all(far.slice(1, 5), 3),
    }),
  });
  // McCullagh 1980 (J. R. Stat. Soc. B 42:109-142): with two classes the proportional odds are the table's cross ratio,
  // its log error √(1/a + 1/b + 1/c + 1/d).
  test("in one pen against the other is the cross ratio where there are two classes", async () => {
    const row = (await rowsOf(flock)).find(({ group_value }) => group_value === "Near")!;
    expect(row).toMatchObject({ lame_animals: 6, severe_scores: 4 });
    // 4 severe and 2 not against 1 and 4
    expect(row.worse_odds_ratio).toBeCloseTo((4 * 4) / (2 * 1), 5);
    const half = 1.959963984540054 * Math.sqrt(1 / 4 + 1 / 2 + 1 / 1 + 1 / 4);
    expect(Math.log(row.worse_lo!)).toBeCloseTo(Math.log(8) - half, 4);
  });
});
