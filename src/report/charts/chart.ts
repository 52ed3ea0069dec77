import type { TopLevelSpec } from "vega-lite";
import { chartTheme } from "../design/chart-theme.ts";
import { columnWidth, narrowWidth } from "../design/tokens.ts";
import type { MeasuredAxis } from "./axis-ends.ts";

/**
 * A chart of the house. Its Vega-Lite template is the same for all charts of its kind and holds no data, so
 * that it is compiled once; data, words and sizes come in by name. Every chart can be drawn as wide as the
 * column of text and as narrow as a phone, with type of the same size in both.
 */
export interface Chart {
  readonly title: string;
  /** The whole picture in words, for readers who cannot see it. */
  readonly description: string;
  readonly template: ChartTemplate;
  /** Rows of the template's named data. */
  readonly data: Readonly<Record<string, readonly object[]>>;
  /** Values of the template's parameters. */
  readonly params: Readonly<Record<string, string | number | boolean | readonly number[]>>;
  /** Height of the plot, px, by size. */
  readonly height: Readonly<Record<ChartSize, number>>;
  /** What its axis of figures measures, where other charts may measure the same. */
  readonly measured?: MeasuredAxis;
}

const chartSizes = ["wide", "narrow"] as const;
export type ChartSize = (typeof chartSizes)[number];

export interface Padding {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface ChartTemplate {
  readonly name: string;
  readonly spec: TopLevelSpec;
  readonly padding: Readonly<Record<ChartSize, Padding>>;
}

/** Draws a chart as SVG text at one of its sizes; given by whoever makes the pages, since drawing may be done on another thread. */
export type DrawChart = (chart: Chart, size: ChartSize) => Promise<string>;

const SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json";
const TOTAL_WIDTH: Readonly<Record<ChartSize, number>> = { wide: columnWidth, narrow: narrowWidth };

interface TemplateParts {
  /** Parameters with the values they have when a chart does not set them. */
  readonly params: Readonly<Record<string, string | number | boolean | readonly number[]>>;
  readonly layer: readonly object[];
  readonly padding: Readonly<Record<ChartSize, Padding>>;
}

/** A template; `narrow` is a parameter of every one, true when it is drawn for a phone. */
export function chartTemplate(name: string, { params, layer, padding }: TemplateParts): ChartTemplate {
  const spec = {
    $schema: SCHEMA,
    config: chartTheme,
    autosize: { type: "none" },
    width: 100,
    height: 100,
    params: Object.entries({ narrow: false, ...params }).map(([key, value]) => ({ name: key, value })),
    layer,
  };
  return { name, padding, spec: spec as unknown as TopLevelSpec };
}

export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly padding: Padding;
}

/** Size of the plot and the room around it, px. */
export function frameOf(chart: Chart, size: ChartSize): Frame {
  const padding = chart.template.padding[size];
  return {
    width: TOTAL_WIDTH[size] - padding.left - padding.right,
    height: chart.height[size],
    padding,
  };
}

/** The chart as one self-contained Vega-Lite specification, as it is drawn on a wide page. */
export function chartSpec(chart: Chart): TopLevelSpec {
  const { spec } = chart.template;
  const frame = frameOf(chart, "wide");
  const params = (spec.params ?? []).map((param) => {
    const { name } = param as { name: string };
    return Object.hasOwn(chart.params, name) ? { ...param, value: chart.params[name] } : param;
  });
  return {
    ...spec,
    title: undefined,
    description: chart.description,
    ...frame,
    params,
    datasets: chart.data,
  } as unknown as TopLevelSpec;
}
