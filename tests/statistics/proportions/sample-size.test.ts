import { describe, expect, test } from "vitest";
import {
  designEffect,
  finitePopulationSize,
  sampleSizeForPrevalence,
  sampleSizeToDetect,
} from "../../../src/statistics/proportions/sample-size.ts";

// Thrusfield, Veterinary Epidemiology; figures from memory, recomputed.
describe("textbook sample sizes", () => {
  test.each([
    [0.5, 384.1],
    [0.2, 245.9],
    [0.1, 138.3],
  ])("prevalence %f to within 5 points", (prevalence, printed) => {
    expect(Number(sampleSizeForPrevalence(prevalence, 0.05).toFixed(1))).toBe(printed);
  });

  // the 95 % point of the standard normal distribution is 1.644854 (any table)
  test("at another level, and where nothing varies", () => {
    expect(sampleSizeForPrevalence(0.5, 0.05, 0.9)).toBeCloseTo((1.644854 ** 2 * 0.25) / 0.0025, 2);
    expect(sampleSizeForPrevalence(0, 0.05)).toBe(0);
    expect(sampleSizeForPrevalence(1, 0.05)).toBe(0);
  });

  test.each([
    [60, 48.4],
    [100, 71.3],
    [250, 124.2],
    [1000, 197.5],
  ])("prevalence 0.2 in a flock of %i", (population, printed) => {
    const size = finitePopulationSize(sampleSizeForPrevalence(0.2, 0.05), population);
    expect(Number(size.toFixed(1))).toBe(printed);
  });

  // Cannon & Roe (1982): 5 of 100 affected, 95 %.
  test("at least one of five in a hundred", () => {
    expect(sampleSizeToDetect(100, 5)).toBeCloseTo(44.17, 2);
    expect(sampleSizeToDetect(40, 40)).toBeLessThan(2);
    // by hand: the one affected is among x of 100 with probability x/100
    expect(sampleSizeToDetect(100, 1)).toBeCloseTo(95, 10);
    expect(finitePopulationSize(5, 1)).toBeCloseTo(1, 12);
  });

  test("clusters", () => {
    expect(designEffect(20, 0.1)).toBeCloseTo(2.9, 12);
    expect(100 / designEffect(20, 0.1)).toBeCloseTo(34.5, 1);
    expect(designEffect(7, 0.05)).toBeCloseTo(1.3, 12);
    expect(designEffect(1, 0.4)).toBe(1);
    expect(designEffect(12, 1)).toBe(12);
  });

  test("impossible arguments", () => {
    expect(() => sampleSizeForPrevalence(0.2, 0)).toThrow(RangeError);
    for (const prevalence of [-0.1, 1.1])
      expect(() => sampleSizeForPrevalence(prevalence, 0.05)).toThrow(RangeError);
    for (const affected of [0, 11]) expect(() => sampleSizeToDetect(10, affected)).toThrow(RangeError);
    expect(() => designEffect(5, 1.1)).toThrow(RangeError);
    expect(() => finitePopulationSize(5, 0)).toThrow(RangeError);
    expect(() => designEffect(0, 0.1)).toThrow(RangeError);
  });
});
