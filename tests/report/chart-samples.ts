import { calibrationPlot } from "../../src/report/charts/calibration-plot.ts";
import type { Chart } from "../../src/report/charts/chart.ts";
import { controlChart } from "../../src/report/charts/control-chart.ts";
import { doseCurve } from "../../src/report/charts/dose-curve.ts";
import { dotPile } from "../../src/report/charts/dot-pile.ts";
import { intervalPlot } from "../../src/report/charts/interval-plot.ts";
import { retrimSteps } from "../../src/report/charts/retrim-steps.ts";
import { timeLine } from "../../src/report/charts/time-line.ts";

const interval = {
  label: "Elder",
  value: 3.4,
  lo: 3.1,
  hi: 3.7,
  count: "12",
  says: "Elder: 3.4 (3.1 to 3.7)",
  reason: "",
};
const silent = {
  label: "Ash",
  value: null,
  lo: null,
  hi: null,
  count: "3",
  says: "Ash: too few animals to tell",
  reason: "Too few animals to tell (3; 5 needed)",
};

/** One chart of every kind, with the awkward parts that each can have: nothing known, gaps, hollow marks. */
export const chartSamples: Readonly<Record<string, Chart>> = {
  intervals: intervalPlot({
    title: "Growth <by> line & pen",
    axis: "mm a month",
    counted: "goats",
    rows: [
      interval,
      { ...interval, label: "a label of more than two dozen characters", hollow: true },
      silent,
    ],
    reference: { value: 3.3, label: "whole flock" },
  }),
  "intervals, nothing known": intervalPlot({ title: "None", axis: "mm", counted: "goats", rows: [silent] }),
  shares: intervalPlot({
    title: "Shares",
    axis: "share",
    counted: "goats",
    share: true,
    rows: [{ ...interval, value: 0.1, lo: 0, hi: 1 }],
  }),
  ratios: intervalPlot({
    title: "Odds",
    axis: "odds ratio",
    counted: "pens",
    ratio: true,
    endWords: { less: "less lameness", more: "more lameness" },
    rows: [{ ...interval, value: 1.4, lo: 0.6, hi: 3.3 }],
    reference: { value: 1, label: "no difference" },
  }),
  differences: intervalPlot({
    title: "Differences",
    axis: "mm a month",
    counted: "goats",
    endWords: { less: "slower", more: "faster" },
    rows: [{ ...interval, value: 0.2, lo: -0.1, hi: 0.5 }],
    reference: { value: 0, label: "other lines" },
  }),
  retrim: retrimSteps({
    title: "Half by day 49",
    description: "day 0: 100 %",
    axisDays: "days",
    axisShare: "share",
    steps: [0, 28, 49, 70].map((day, i) => ({
      day,
      share: 1 - i / 4,
      lo: i === 3 ? null : 0.9 - i / 4,
      hi: i === 3 ? null : 1,
      says: `day ${day}`,
    })),
    unknown: [{ from: 28, to: 49, says: "not known" }],
    median: { day: 49, label: "half by day 49" },
  }),
  "retrim, no median": retrimSteps({
    title: "Beyond",
    description: "",
    axisDays: "days",
    axisShare: "share",
    steps: [{ day: 0, share: 1, lo: 1, hi: 1, says: "day 0" }],
    unknown: [],
    median: null,
  }),
  seasons: timeLine({
    title: "Seasons",
    measure: "share",
    axis: "seasons",
    share: true,
    points: [19800, 19890, 19980].map((day, i) => ({
      day,
      value: i === 1 ? null : 0.1,
      lo: i === 1 ? null : 0.05,
      hi: i === 1 ? null : 0.2,
      says: `season ${i}`,
      current: i === 2,
    })),
    ticks: [{ day: 19800, label: "spring 2024" }],
    recordDays: [19790, 19850],
  }),
  control: controlChart({
    title: "North barn",
    top: 0.5,
    ticks: [{ at: 0, label: "Jan" }],
    signals: [{ at: 1, says: "signal" }],
    months: [
      { share: 0.1, lower: 0, upper: 0.3, centre: 0.12, outside: false, says: "January" },
      { share: 0.4, lower: 0, upper: 0.3, centre: 0.12, outside: true, says: "February" },
      { share: null, lower: null, upper: null, centre: null, outside: false, says: "March" },
    ],
  }),
  calibration: calibrationPlot({
    title: "Forecasts",
    axis: "forecast",
    measure: "seen",
    exact: "as forecast",
    tenths: [{ forecast: 0.2, seen: 0.25, lo: 0.2, hi: 0.3, says: "a fifth" }],
  }),
  dose: doseCurve({
    title: "Dose",
    axis: "protein",
    measure: "growth",
    none: 0,
    points: [10, 14, 18].map((x) => ({
      x,
      estimate: x / 10,
      lo: x / 10 - 0.1,
      hi: x / 10 + 0.1,
      says: `at ${x}`,
    })),
  }),
  "dose, a ratio": doseCurve({
    title: "Dose",
    axis: "protein",
    measure: "odds",
    none: 1,
    points: [10, 14, 18].map((x) => ({ x, estimate: x / 14, lo: x / 20, hi: x / 9, says: `at ${x}` })),
  }),
  ranges: intervalPlot({
    title: "Diet",
    axis: "mg/kg",
    counted: "mg/kg",
    ranges: true,
    rows: [
      { ...interval, value: 17, lo: 20, hi: 40 },
      { ...interval, value: 22, lo: null, hi: 15 },
      { ...interval, value: 22, lo: null, hi: null },
    ],
  }),
  "limits past the axis": intervalPlot({
    title: "Odds",
    axis: "odds ratio",
    counted: "df",
    ratio: true,
    endWords: { less: "less lameness", more: "more lameness" },
    rows: [interval, { ...interval, lo: 0.04, hi: 559, mayRunOff: true }],
    reference: { value: 1, label: "no difference" },
  }),
  spread: dotPile({
    title: "Spread",
    axis: "mm; each dot is a goat",
    measure: "mm",
    dots: [2, 2.01, 3, 4.2].map((value) => ({ value, says: `${value} mm` })),
    reference: { value: 2.8, label: "whole flock" },
  }),
};
