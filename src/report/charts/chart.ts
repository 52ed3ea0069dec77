import type { TopLevelSpec } from "vega-lite";
import { chartTheme } from "../design/chart-theme.ts";

/** A chart to be drawn: its specification, and the words that stand for it where it cannot be seen. */
export interface Chart {
  readonly title: string;
  readonly description: string;
  readonly spec: TopLevelSpec;
}

/** Draws a chart as SVG text; given by the rim, since drawing is the platform's. */
export type DrawChart = (chart: Chart) => Promise<string>;

export const schemaUrl = "https://vega.github.io/schema/vega-lite/v6.json";

/** A chart of the house: the theme and the schema are the same for all. */
export function chart(
  title: string,
  description: string,
  spec: Omit<TopLevelSpec, "$schema" | "config">,
): Chart {
  return { title, description, spec: { $schema: schemaUrl, config: chartTheme, ...spec } as TopLevelSpec };
}
