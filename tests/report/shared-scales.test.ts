import { describe, expect, test } from "vitest";
import { intervalPlot } from "../../src/report/charts/interval-plot.ts";
import { withSharedScales } from "../../src/report/charts/shared-scales.ts";

/** Ends are by hand: steps of 1, 2 or 5 times a power of ten that hold all figures. */
const plot = (axis: string, value: number, lo: number, hi: number, more: object = {}) =>
  intervalPlot({
    title: axis,
    axis,
    counted: "goats",
    rows: [{ label: "Elder", value, lo, hi, count: "12", says: "", reason: "" }],
    ...more,
  });

describe("charts of one page", () => {
  test("that show one measure have one scale, wide enough for all", () => {
    const [few, many, other] = withSharedScales([
      plot("growth", 3.4, 3.1, 3.9),
      plot("growth", 4.6, 4.2, 5),
      plot("share", 0.2, 0.1, 0.4, { share: true }),
    ]);
    expect(few!.params.ends).toEqual([3, 5]);
    expect(many!.params.ends).toEqual([3, 5]);
    expect(other!.params.ends).toEqual([0.1, 0.4]);
  });

  test("ratios and differences of the same words stay apart", () => {
    const [ratio, linear] = withSharedScales([
      plot("lameness", 1.4, 0.8, 2.4, { ratio: true }),
      plot("lameness", 3, 2, 4),
    ]);
    expect(ratio!.params.ends).toEqual([0.2, 5]);
    expect(linear!.params.ends).toEqual([2, 4]);
  });

  test("limits that may run off do not stretch the axis, their estimate does", () => {
    const row = { label: "zinc", value: 4.6, lo: 0.04, hi: 559, count: "", says: "", reason: "" };
    const [chart] = withSharedScales([
      plot("odds", 1, 1, 1, { ratio: true, rows: [{ ...row, mayRunOff: true }] }),
    ]);
    expect(chart!.params.ends).toEqual([0.2, 5]);
  });
});
