import { describe, expect, test } from "vitest";
import { mantelHaenszel } from "../../../src/statistics/proportions/mantel-haenszel.ts";

describe("common odds ratio", () => {
  // Admissions by department (Bickel, Hammel & O'Connell 1975, Science 187:398-404); the ratio and its limits as R's
  // mantelhaen.test prints them for the data set UCBAdmissions, from memory
  test("of admissions by department", () => {
    const departments = [
      [512, 313, 89, 19],
      [353, 207, 17, 8],
      [120, 205, 202, 391],
      [138, 279, 131, 244],
      [53, 138, 94, 299],
      [22, 351, 24, 317],
    ] as const;
    const found = mantelHaenszel(
      departments.map(([events, rest, otherEvents, otherRest]) => ({
        events,
        total: events + rest,
        otherEvents,
        otherTotal: otherEvents + otherRest,
      })),
    )!;
    expect(found.estimate).toBeCloseTo(0.9046968, 6);
    expect(found.lo).toBeCloseTo(0.7719074, 5);
    expect(found.hi).toBeCloseTo(1.0603298, 5);
  });

  // by hand: with one stratum it is ad/bc, and the variance of its log is 1/a + 1/b + 1/c + 1/d (Woolf 1955)
  test("of one stratum is the plain ratio with Woolf's limits", () => {
    const found = mantelHaenszel([{ events: 12, total: 20, otherEvents: 6, otherTotal: 24 }])!;
    expect(found.estimate).toBeCloseTo((12 * 18) / (8 * 6), 12);
    const se = Math.sqrt(1 / 12 + 1 / 8 + 1 / 6 + 1 / 18);
    expect(Math.log(found.hi / found.estimate)).toBeCloseTo(1.959964 * se, 6);
  });

  test("a stratum with one side empty adds nothing; no ratio without both outcomes", () => {
    const stratum = { events: 12, total: 20, otherEvents: 6, otherTotal: 24 };
    expect(mantelHaenszel([stratum, { events: 3, total: 9, otherEvents: 0, otherTotal: 0 }])).toEqual(
      mantelHaenszel([stratum]),
    );
    expect(mantelHaenszel([stratum, { events: 0, total: 0, otherEvents: 0, otherTotal: 0 }])).toEqual(
      mantelHaenszel([stratum]),
    );
    for (const [events, otherEvents] of [
      [0, 0],
      [0, 2],
      [2, 0],
    ] as const)
      expect(mantelHaenszel([{ events, total: 5, otherEvents, otherTotal: 5 }])).toBeUndefined();
    expect(mantelHaenszel([])).toBeUndefined();
  });
});
