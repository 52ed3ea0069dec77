import { describe, expect, test } from "vitest";
import { calibrateWetness, fixedCutPoints } from "../../src/exposure/wetness-from-weather.ts";

describe("wetness of the weather on the scorers' scale", () => {
  test("never falls, pools days that stand out of order, and reads between scored days", () => {
    // twenty days: at 0.0 and 0.5 the scores stand out of order (2 and 1) and pool to 1.5; at 1 they are 3
    const days = [
      ...Array.from({ length: 5 }, () => ({ weatherWetness: 0, score: 2 })),
      ...Array.from({ length: 5 }, () => ({ weatherWetness: 0.5, score: 1 })),
      ...Array.from({ length: 10 }, () => ({ weatherWetness: 1, score: 3 })),
    ];
    const calibration = calibrateWetness(days, "pen")!;
    expect(calibration.from).toBe("pen");
    expect([0, 0.25, 0.5, 0.75, 1].map(calibration.read)).toEqual([1.5, 1.5, 1.5, 2.25, 3]);
  });

  test("is not made from few scored days, nor where the score does not follow the weather", () => {
    const dry = Array.from({ length: 30 }, (_, k) => ({ weatherWetness: k / 29, score: k % 2 }));
    expect(calibrateWetness(dry.slice(0, 19), "pen")).toBeNull();
    expect(
      calibrateWetness(
        dry.map((day) => ({ ...day, score: 1 })),
        "flock",
      ),
    ).toBeNull();
  });

  test("falls back to cut points that are marked as such", () => {
    expect(fixedCutPoints.from).toBe("fixed");
    expect([0, 0.29, 0.3, 0.6, 0.89, 0.9, 1].map(fixedCutPoints.read)).toEqual([0, 0, 1, 2, 2, 3, 3]);
  });
});
