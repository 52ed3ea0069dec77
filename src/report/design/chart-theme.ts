import type { Config } from "vega-lite";
import { chartType, colours } from "./tokens.ts";

/** How every chart looks; charts say only what they show. */
export const chartTheme: Config = {
  background: "transparent",
  view: { stroke: null },
  axis: {
    aria: false,
    labelFontSize: chartType.size,
    labelColor: colours.ink,
    labelPadding: 6,
    domainColor: colours.ink,
    tickColor: colours.ink,
    tickSize: 4,
    gridColor: colours.hairline,
    gridOpacity: 0.7,
    title: null,
  },
  axisY: { domain: false, ticks: false },
  legend: { disable: true },
  text: { fontSize: chartType.size, color: colours.ink },
  rule: { color: colours.ink },
  point: { filled: true, size: 64, opacity: 1, color: colours.accent },
};
