import type { Config } from "vega-lite";
import { colours, series, type } from "./tokens.ts";

/** How every chart looks; charts say only what they show. */
export const chartTheme: Config = {
  background: colours.paper,
  font: type.family,
  padding: 2,
  view: { stroke: null },
  axis: {
    labelFontSize: 12,
    titleFontSize: 12,
    titleFontWeight: "normal",
    labelColor: colours.ink,
    titleColor: colours.quiet,
    domainColor: colours.ink,
    tickColor: colours.ink,
    gridColor: colours.hairline,
    gridOpacity: 0.6,
    labelLimit: 180,
    titlePadding: 8,
  },
  axisY: { domain: false, ticks: false, labelPadding: 8 },
  legend: { disable: true },
  range: { category: [...series] },
  text: { fontSize: 12, color: colours.ink },
  title: { fontSize: 13, fontWeight: "normal", color: colours.quiet, anchor: "start" },
  rule: { color: colours.ink },
  point: { color: colours.ink, filled: true, size: 60 },
};
