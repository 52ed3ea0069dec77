import { describe, expect, test } from "vitest";
import {
  drawGrowthStudy,
  type GrowthSpread,
  growthUnitVariance,
} from "../../../src/findings/study-plan/growth-study.ts";
import {
  drawLameStudy,
  type LameSpread,
  lameShare,
  lameUnitVariance,
} from "../../../src/findings/study-plan/lame-study.ts";
import { type StudyDesign, unitsOfArms } from "../../../src/findings/study-plan/study-design.ts";
import {
  designEffect,
  drawStudies,
  formulaPower,
  type StudyOutcome,
  simulatedPower,
  smallestEffect,
} from "../../../src/findings/study-plan/study-power.ts";
import { Random } from "../../../src/statistics/random.ts";
import reference from "../../reference/noncentral-t.json" with { type: "json" };

const design: StudyDesign = {
  unit: "pen",
  pens: 8,
  goatsPerPen: 10,
  months: 6,
  visits: 4,
  monthsBefore: 0,
};

const nothing: GrowthSpread = {
  animal: 0,
  claw: 0,
  interval: 0,
  pen: 0,
  pen_month: 0,
  month: 0,
  visit: 0,
  residual: 0,
};
const everything: GrowthSpread = {
  animal: 0.3,
  claw: 0.06,
  interval: 0.19,
  pen: 0.4,
  pen_month: 0.22,
  month: 0.5,
  visit: 0.4,
  residual: 0.9,
};
const lame: LameSpread = { mean: -1.5, animal: 0.8, pen: 0.3, pen_month: 0.2, month: 0.4 };

const growth = (spread: GrowthSpread): StudyOutcome => ({ outcome: "growth", spread });

/** Simulation error of a share of `n` around an expected one, four times over: passed by chance 15,999 times in 16,000. */
const reach = (expected: number, n: number): number => 4 * Math.sqrt((expected * (1 - expected)) / n);

describe("where units are independent and normal with deviation 1, power is the noncentral t's", () => {
  // whole pens with a variance of 1 between them and nothing else: a plain two-sample t
  test.each(reference.power.filter(({ first, second }) => first === second && first + second >= 5))(
    "difference $difference, $first pens an arm",
    ({ difference, first, power }) => {
      const n = 3000;
      const studies = drawStudies(
        { ...design, pens: 2 * first, goatsPerPen: 1 },
        growth({ ...nothing, pen: 1 }),
        n,
        7,
      );
      expect(Math.abs(simulatedPower(studies, difference).power - power)).toBeLessThan(reach(power, n));
    },
  );

  test.each(reference.smallest)("smallest difference with $first pens an arm", ({ first, difference }) => {
    const studies = drawStudies(
      { ...design, pens: 2 * first, goatsPerPen: 1 },
      growth({ ...nothing, pen: 1 }),
      3000,
      3,
    );
    const found = smallestEffect(studies, "growth", 1, 0.8)!;
    // an error of 0.03 in power is one of about a tenth in the difference here
    expect(Math.abs(found / difference - 1)).toBeLessThan(0.1);
    expect(smallestEffect(studies, "growth", -1, 0.8)!).toBeLessThan(0);
  });

  test("single goats with nothing shared", () => {
    const studies = drawStudies(
      { ...design, unit: "animal", pens: 4, goatsPerPen: 10 },
      growth({ ...nothing, animal: 1 }),
      3000,
      5,
    );
    // R's example of power.t.test: n = 20, delta = 1, sd = 1
    expect(Math.abs(simulatedPower(studies, 1).power - 0.8689528)).toBeLessThan(reach(0.869, 3000));
  });
});

describe("pens assigned, all variances of the flock", () => {
  test.each([
    ["growth", growth(everything), design],
    ["growth with records before", growth(everything), { ...design, monthsBefore: 4 }],
    ["lameness", { outcome: "lame", spread: lame } as const, design],
    [
      "lameness with records before",
      { outcome: "lame", spread: lame } as const,
      { ...design, monthsBefore: 4 },
    ],
  ])("%s: without an effect 5 in 100 studies claim one", (_, of, laidOut) => {
    const n = 2000;
    expect(Math.abs(simulatedPower(drawStudies(laidOut, of, n, 11), 0).power - 0.05)).toBeLessThan(
      reach(0.05, n),
    );
  });

  test.each([0, 4])("growth: the formula is exact with %i months before", (monthsBefore) => {
    const n = 3000;
    const laidOut = { ...design, monthsBefore };
    const studies = drawStudies(laidOut, growth(everything), n, 13);
    for (const effect of [0.5, 1.2]) {
      const exact = formulaPower(laidOut, growth(everything), effect)!;
      expect(Math.abs(simulatedPower(studies, effect).power - exact)).toBeLessThan(reach(exact, n));
    }
  });

  test("lameness: the formula is near where scores are many", () => {
    const of = { outcome: "lame", spread: lame } as const;
    const laidOut = { ...design, pens: 16, goatsPerPen: 16 };
    const studies = drawStudies(laidOut, of, 1000, 17);
    for (const effect of [-0.5, 0.7]) {
      expect(
        Math.abs(simulatedPower(studies, effect).power - formulaPower(laidOut, of, effect)!),
      ).toBeLessThan(0.05);
    }
  });

  test("too few pens for any interval show nothing", () => {
    expect(simulatedPower(drawStudies({ ...design, pens: 4 }, growth(everything), 100, 1), 50).power).toBe(0);
  });

  test("equal seeds draw equal studies", () => {
    const of = { outcome: "lame", spread: lame } as const;
    const values = (seed: number) => drawStudies(design, of, 3, seed).map(({ first }) => first(0.4));
    expect(values(2)).toEqual(values(2));
    expect(values(2)).not.toEqual(values(3));
  });
});

describe("goats assigned within pens, all variances of the flock", () => {
  const within: StudyDesign = { ...design, unit: "animal", pens: 5, goatsPerPen: 7 };

  test.each([
    ["growth", growth(everything), within],
    ["growth with records before", growth(everything), { ...within, monthsBefore: 4 }],
    ["lameness", { outcome: "lame", spread: lame } as const, within],
  ])("%s: without an effect 5 in 100 studies claim one", (_, of, laidOut) => {
    const n = 2000;
    expect(Math.abs(simulatedPower(drawStudies(laidOut, of, n, 29), 0).power - 0.05)).toBeLessThan(
      reach(0.05, n),
    );
  });

  test.each([0, 4])("growth: the formula is exact with %i months before", (monthsBefore) => {
    const n = 3000;
    const laidOut = { ...within, monthsBefore };
    const studies = drawStudies(laidOut, growth(everything), n, 31);
    for (const effect of [0.3, 0.7]) {
      const exact = formulaPower(laidOut, growth(everything), effect)!;
      expect(Math.abs(simulatedPower(studies, effect).power - exact)).toBeLessThan(reach(exact, n));
    }
  });

  test("lameness: the formula is near", () => {
    const of = { outcome: "lame", spread: lame } as const;
    const studies = drawStudies({ ...within, goatsPerPen: 16 }, of, 1000, 37);
    for (const effect of [-0.5, 0.7]) {
      expect(
        Math.abs(
          simulatedPower(studies, effect).power - formulaPower({ ...within, goatsPerPen: 16 }, of, effect)!,
        ),
      ).toBeLessThan(0.05);
    }
  });

  test("one goat a pen has none to be compared with", () => {
    const studies = drawStudies({ ...within, pens: 20, goatsPerPen: 1 }, growth(everything), 50, 1);
    expect(simulatedPower(studies, 50).power).toBe(0);
  });
});

describe("variance of a unit's value", () => {
  test("growth, by hand", () => {
    // Four visits in six months: three intervals of two months. A pen of 10:
    // 0.4 + 0.22/6 + (0.3 + 0.06/8 + (0.19 + 0.9/8/4)/3 + 2·0.4/36)/10
    const ofGoat = 0.3 + 0.0075 + (0.19 + 0.028125) / 3 + 0.8 / 36;
    expect(growthUnitVariance(design, everything, 10)).toBeCloseTo(0.4 + 0.22 / 6 + ofGoat / 10, 12);
    // what lasts goes out of a change: pens, goats, claws; three months before at the same pace: two intervals of 1.5
    const change = { ...design, visits: 5, monthsBefore: 3 };
    const intervals = (0.19 + 0.1125 / 1.5 ** 2) / 4 + (0.19 + 0.1125 / 1.5 ** 2) / 2;
    const visits = 0.4 * (1 / 36 + (1 / 6 + 1 / 3) ** 2 + 1 / 9);
    expect(growthUnitVariance(change, everything, 10)).toBeCloseTo(
      0.22 * (1 / 6 + 1 / 3) + (intervals + visits) / 10,
      12,
    );
  });

  test("design effect is 1 + (n − 1)ρ", () => {
    const of = growth({ ...nothing, pen: 0.2, animal: 0.8 });
    expect(designEffect(design, of)).toBeCloseTo(1 + 9 * 0.2, 12);
    expect(designEffect({ ...design, unit: "animal" }, of)).toBe(1);
  });

  test("lame scores that share nothing are binomial", () => {
    const spread = { mean: Math.log(0.2 / 0.8), animal: 0, pen: 0, pen_month: 0, month: 0 };
    expect(lameShare(spread, 0)).toBeCloseTo(0.2, 12);
    expect(lameUnitVariance(design, spread, 10, 0)).toBeCloseTo((0.2 * 0.8) / (10 * 4), 12);
    // a change of 2 visits before (4 visits · 3/6 months) and 4 after
    const before = { ...design, visits: 5, monthsBefore: 3 };
    expect(lameUnitVariance(before, spread, 10, 0)).toBeCloseTo((0.16 / 10) * (1 / 5 + 1 / 2), 12);
    // odds of 0.25 doubled: 0.5 / 1.5
    expect(lameShare(spread, Math.log(2))).toBeCloseTo(1 / 3, 12);
  });

  test.each([0, 3])("drawn values vary as they should, %i months before", (monthsBefore) => {
    const laidOut = { ...design, visits: 5, monthsBefore };
    const random = new Random(23);
    const ofArms = (draw: (task: Random) => { first: number[]; second: number[] }): number => {
      let squares = 0;
      const studies = 1500;
      for (let k = 0; k < studies; k++) {
        const { first, second } = draw(random.substream(k));
        const all = [first, second].map((values) => {
          const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
          return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
        });
        squares += (all[0]! + all[1]!) / 2;
      }
      return squares / studies;
    };
    const grown = ofArms((task) => {
      const { first, second } = drawGrowthStudy(laidOut, everything, task);
      return { first: [...first(0.3)], second: [...second] };
    });
    // 9,000 degrees of freedom: a relative error of √(2/9,000) = 0.015, and shares are near normal here
    expect(Math.abs(grown / growthUnitVariance(laidOut, everything, 10) - 1)).toBeLessThan(0.06);
    const scored = ofArms((task) => {
      const { first, second } = drawLameStudy(laidOut, lame, task);
      return { first: [...first(0)], second: [...second] };
    });
    expect(Math.abs(scored / lameUnitVariance(laidOut, lame, 10, 0) - 1)).toBeLessThan(0.06);
  });
});

test("units of the arms", () => {
  expect(unitsOfArms({ ...design, pens: 7 })).toEqual([4, 3]);
  expect(unitsOfArms({ ...design, unit: "animal", pens: 3, goatsPerPen: 5 })).toEqual([8, 7]);
});
