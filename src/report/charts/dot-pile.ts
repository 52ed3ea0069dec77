import { colours } from "../design/tokens.ts";
import { axisEnds, axisParams, type MeasuredAxis, spanOf } from "./axis-ends.ts";
import { type Chart, chartTemplate } from "./chart.ts";
import { xAxisTitle } from "./plot-text.ts";

export interface DotPile {
  readonly title: string;
  readonly axis: string;
  /** What the axis measures, in the words that other charts of the measure have at theirs. */
  readonly measure: string;
  readonly dots: readonly { readonly value: number; readonly says: string }[];
  readonly reference: { readonly value: number; readonly label: string };
}

/** One dot an animal, piled where values are alike: how a measure is spread over the flock. */
export function dotPile(plot: DotPile): Chart {
  const values = [...plot.dots.map((dot) => dot.value), plot.reference.value];
  const measured: MeasuredAxis = {
    measure: plot.measure,
    scale: "linear",
    isShare: false,
    span: spanOf(values)!,
    steps: 6,
  };
  const ends = axisEnds(values);
  const bin = (ends.to - ends.from) / BINS;
  const piles = new Map<number, number>();
  const dots = [...plot.dots]
    .sort((a, b) => a.value - b.value)
    .map((dot) => {
      const at = Math.min(BINS - 1, Math.floor((dot.value - ends.from) / bin));
      const place = piles.get(at) ?? 0;
      piles.set(at, place + 1);
      return { at: ends.from + (at + 0.5) * bin, place: place + 0.5, says: dot.says };
    });
  const tallest = Math.max(1, ...piles.values());
  return {
    title: plot.title,
    description: plot.dots.map((dot) => dot.says).join("; "),
    template: pileTemplate,
    params: {
      ...axisParams(measured),
      tallest,
      axisTitle: plot.axis,
    },
    data: { dots, reference: [{ at: plot.reference.value, label: plot.reference.label }] },
    height: { wide: tallest * DOT, narrow: tallest * DOT },
    measured,
  };
}

const BINS = 30;
/** Room of a dot, px. */
const DOT = 9;

const x = {
  type: "quantitative",
  scale: { domainMin: { expr: "ends[0]" }, domainMax: { expr: "ends[1]" }, nice: false, zero: false },
  axis: {
    tickCount: { expr: "narrow ? 4 : 6" },
    labelExpr: "format(datum.value, numberFormat)",
    labelOverlap: true,
    grid: false,
  },
} as const;

const y = {
  type: "quantitative",
  scale: { domainMin: 0, domainMax: { expr: "tallest" }, nice: false },
  axis: null,
} as const;

const pileTemplate = chartTemplate("dot-pile", {
  params: { ends: [0, 1], ticks: [], tallest: 1, numberFormat: "~g", axisTitle: "" },
  padding: {
    wide: { left: 16, right: 16, top: 24, bottom: 44 },
    narrow: { left: 12, right: 12, top: 24, bottom: 44 },
  },
  layer: [
    {
      data: { name: "reference" },
      mark: { type: "rule", strokeDash: [4, 3], color: colours.quiet, aria: false },
      encoding: { x: { field: "at", ...x } },
    },
    {
      data: { name: "reference" },
      mark: { type: "text", align: "center", baseline: "middle", y: -12, color: colours.quiet, aria: false },
      encoding: { x: { field: "at", ...x }, text: { field: "label" } },
    },
    {
      data: { name: "dots" },
      mark: { type: "point", color: colours.accent, size: { expr: "narrow ? 30 : 44" } },
      encoding: { x: { field: "at", ...x }, y: { field: "place", ...y }, description: { field: "says" } },
    },
    xAxisTitle,
  ],
});
