import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../../src/book/book.ts";
import { createTable, insertRows } from "../../../src/findings/finding.ts";
import { growthPointTable } from "../../../src/findings/growth-point.ts";
import { type ModelFitRow, modelFitTable } from "../../../src/findings/model-fit.ts";
import { studyBasisTable } from "../../../src/findings/study-basis.ts";
import { type PlanRequest, planStudy, type StudyPlan } from "../../../src/findings/study-plan/plan-study.ts";
import { type VarianceRow, varianceTable } from "../../../src/findings/variance.ts";
import { readCodes } from "../../../src/records/codes.ts";
import { herdBook } from "../herd-book.ts";

const asked: PlanRequest = {
  outcome: "growth",
  unit: "pen",
  pens: null,
  goats: null,
  months: null,
  visits: null,
  monthsBefore: 0,
  effects: [0.5, 1.5],
  simulations: 200,
  seed: 1,
};

let book: Book;

async function store(
  fits: readonly Partial<ModelFitRow>[],
  variances: readonly Partial<VarianceRow>[],
): Promise<void> {
  for (const table of [modelFitTable, varianceTable, growthPointTable, studyBasisTable])
    await book.run(createTable(table));
  await insertRows(book, studyBasisTable, [
    {
      flock: "flock",
      pens: 5,
      goats_per_pen: 11.5,
      growth_gap_days: 45,
      score_gap_days: 30,
      gait_scale: "0-3",
      scores: 400,
      lame_scores: 40,
    },
  ]);
  await insertRows(
    book,
    modelFitTable,
    fits.map((row) => ({
      flock: "flock",
      model: "growth",
      term: "fit",
      level: "",
      estimate: null,
      se: null,
      df: null,
      verdict: "converged",
      rows: 900,
      animals: 57,
      pens: 5,
      ...row,
    })),
  );
  await insertRows(
    book,
    varianceTable,
    variances.map((row) => ({
      flock: "flock",
      trait: "growth",
      model: "growth",
      component: "",
      variance: 0,
      se: null,
      share: null,
      share_lo: null,
      share_hi: null,
      caution: null,
      ...row,
    })),
  );
}

const growthVariances = [
  { component: "animal", variance: 0.3 },
  { component: "pen", variance: 0.3 },
  { component: "pen_month", variance: 0.2 },
  { component: "residual", variance: 0.9 },
];

async function planned(request: Partial<PlanRequest> = {}): Promise<StudyPlan> {
  const plan = await planStudy(book, "flock", { ...asked, ...request });
  if (!("rows" in plan)) throw new Error(JSON.stringify(plan));
  return plan;
}

const troubles = (request: Partial<PlanRequest> = {}) => planStudy(book, "flock", { ...asked, ...request });

beforeAll(async () => {
  book = await herdBook({});
});
afterAll(() => book.close());

test("a book without results is said to have none", async () => {
  expect(await troubles()).toEqual([{ code: "not_analysed" }]);
});

describe("with a fit of growth", () => {
  beforeAll(() => store([{}], growthVariances));

  test("levers left out are as the flock is", async () => {
    const { rows } = await planned();
    // five pens: six at least; half as many again in pairs; twice as many. 6 · 30 days at 45 days a visit: 5 visits.
    expect(rows.map(({ design, effect }) => [design.pens, effect])).toEqual([
      [6, 0.5],
      [6, 1.5],
      [10, 0.5],
      [10, 1.5],
      [12, 0.5],
      [12, 1.5],
    ]);
    expect(rows[0]!.design).toMatchObject({ goatsPerPen: 12, months: 6, visits: 5, unit: "pen" });
  });

  test("power rises with pens and effect, and limits itself to where there are units enough", async () => {
    const { rows } = await planned({ pens: [4, 6, 12], effects: [0, 0.5, 1.5], simulations: 600 });
    const power = (pens: number, effect: number): number | undefined =>
      rows.find((row) => row.design.pens === pens && row.effect === effect)!.power?.power;
    expect(power(4, 1.5)).toBeUndefined();
    expect(readCodes(rows[0]!.caution)[0]!.id).toBe("too_few_units");
    expect(power(6, 0.5)!).toBeLessThan(power(6, 1.5)!);
    expect(power(6, 0.5)!).toBeLessThan(power(12, 0.5)!);
    expect(power(12, 0)!).toBeLessThan(0.09);
    const [six, twelve] = [6, 12].map((pens) => rows.find((row) => row.design.pens === pens)!.smallest!);
    expect(twelve!).toBeLessThan(six!);
  });

  test("the seed decides, and nothing else", async () => {
    expect((await planned()).rows).toEqual((await planned()).rows);
    expect((await planned({ seed: 2 })).rows).not.toEqual((await planned()).rows);
  });

  test("progress is told design by design", async () => {
    const told: string[] = [];
    await planStudy(book, "flock", { ...asked, pens: [6, 8] }, (done, all) => told.push(`${done}/${all}`));
    expect(told).toEqual(["1/2", "2/2"]);
  });

  test("the range of the formula is that over the variances that the records allow", async () => {
    await insertRows(book, growthPointTable, [
      { flock: "flock", point: 1, weight: 0.5, component: "pen", relative_sd: 0.1 },
      { flock: "flock", point: 2, weight: 0.5, component: "pen", relative_sd: 2 },
    ]);
    for (const { formula, formulaLo, formulaHi } of (await planned()).rows) {
      expect(formulaLo!).toBeLessThan(formula!);
      expect(formulaHi!).toBeGreaterThan(formula!);
    }
  });

  test.each([
    [{ pens: [6.5] }, { code: "lever_out_of_range", lever: "pens" }],
    [{ visits: [1] }, { code: "lever_out_of_range", lever: "visits", least: 2 }],
    [{ monthsBefore: -1 }, { code: "lever_out_of_range", lever: "before" }],
    [{ simulations: 5 }, { code: "lever_out_of_range", lever: "simulations" }],
    [{ pens: Array.from({ length: 31 }, (_, k) => k + 6) }, { code: "too_many_designs", designs: 62 }],
    [{ pens: [400], goats: [1000], simulations: 20_000 }, { code: "too_much_to_draw" }],
    [{ outcome: "lame" as const }, { code: "no_records", outcome: "lame" }],
  ])("%j is refused", async (request, trouble) => {
    expect(await troubles(request)).toMatchObject([trouble]);
  });
});

test("a fit whose verdict is bad allows no plan", async () => {
  await store([{ verdict: "failed", level: "not_converged" }], []);
  expect(await troubles()).toEqual([{ code: "no_fit", outcome: "growth", verdict: "not_converged" }]);
  await store([{ verdict: "flat", level: "not_identified" }], growthVariances);
  expect(await troubles()).toMatchObject([{ code: "no_fit" }]);
});

test("a plan by pens wants to know how pens differ; one by goats does not", async () => {
  await store(
    [{ pens: 2 }],
    growthVariances.filter(({ component }) => component !== "pen"),
  );
  expect(await troubles()).toEqual([{ code: "pens_untold", outcome: "growth", pens: 2 }]);
  expect((await planned({ unit: "animal" })).rows.length).toBeGreaterThan(0);
});

test("pens found alike are said to be, and so are months untold", async () => {
  await store(
    [{ verdict: "singular" }],
    [
      { component: "animal", variance: 0.3 },
      { component: "pen", variance: 0 },
      { component: "residual", variance: 0.9 },
    ],
  );
  expect(readCodes((await planned()).fit.caution).map(({ id }) => id)).toEqual([
    "pens_rest_on",
    "pens_found_alike",
    "pen_months_untold",
  ]);
});

test("lameness is planned from its own panel", async () => {
  const of = { model: "lameness", trait: "lameness" };
  await store(
    [of, { ...of, term: "mean", estimate: -2 }],
    [
      { ...of, component: "animal", variance: 0.8 },
      { ...of, component: "pen", variance: 0.2, se: 0.1 },
      { ...of, component: "pen_month", variance: 0.1 },
    ],
  );
  const plan = await planned({ outcome: "lame", effects: [Math.log(0.5)] });
  // normal log odds around −2 with variance 1.1: more than the 0.119 of the middle pen, less than a half
  expect(plan.lameShare!).toBeGreaterThan(1 / (1 + Math.exp(2)));
  expect(plan.lameShare!).toBeLessThan(0.25);
  expect(plan.rows[0]!.lameShare!).toBeLessThan(plan.lameShare!);
  expect(plan.rows[0]!.design.visits).toBe(7);
  expect(plan.rows[0]!.formulaLo!).toBeLessThanOrEqual(plan.rows[0]!.formula!);
});
