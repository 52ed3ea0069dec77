import { describe, expect, test } from "vitest";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { seasonSpans, seasonsOfHemisphere } from "../../src/records/seasons.ts";

const day = (iso: string): number => parseIsoDay(iso)!;

describe("seasons", () => {
  test("a season takes the year in which it starts, over new year too", () => {
    const spans = seasonSpans(seasonsOfHemisphere(45), day("2024-01-15"), day("2024-03-05"));
    expect(spans.map((span) => [span.id, isoDay(span.from), isoDay(span.to)])).toEqual([
      ["2023-winter", "2023-12-01", "2024-03-01"],
      ["2024-spring", "2024-03-01", "2024-06-01"],
    ]);
  });

  test("the southern hemisphere turns them round", () => {
    const spans = seasonSpans(seasonsOfHemisphere(-38), day("2024-03-01"), day("2024-06-01"));
    expect(spans.map((span) => span.id)).toEqual(["2024-autumn", "2024-winter"]);
  });

  test("seasons of the flock's own, with names that are safe as folders", () => {
    const spans = seasonSpans(
      [
        { name: "Wet / season", starts: "05-15" },
        { name: "dry", starts: "11-01" },
      ],
      day("2024-06-01"),
      day("2024-11-02"),
    );
    expect(spans.map((span) => span.id)).toEqual(["2024-wet-season", "2024-dry"]);
  });

  test("a season that starts on 29 February starts a day sooner in other years", () => {
    const spans = seasonSpans([{ name: "leap", starts: "02-29" }], day("2023-03-01"), day("2024-03-01"));
    expect(spans.map((span) => isoDay(span.from))).toEqual(["2023-02-28", "2024-02-29"]);
  });

  test("spans leave no day out and count none twice", () => {
    const spans = seasonSpans(seasonsOfHemisphere(null), day("2019-01-01"), day("2025-12-31"));
    spans.slice(1).forEach((span, i) => {
      expect(span.from).toBe(spans[i]!.to);
    });
  });
});
