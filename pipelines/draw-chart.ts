import { parse, View } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import { compile } from "vega-lite";
import type { Chart } from "../src/report/charts/chart.ts";

/**
 * Draws a chart as SVG, without a browser and without evaluating any text as code. The picture carries the
 * chart's title and description for screen readers.
 */
export async function drawChart(chart: Chart): Promise<string> {
  const warnings: string[] = [];
  const logger = {
    ...silent,
    warn(...texts: readonly unknown[]) {
      warnings.push(texts.join(" "));
      return logger;
    },
  };
  const { spec } = compile(chart.spec, { logger: logger as never });
  if (warnings.length > 0) throw new Error(`chart '${chart.title}': ${warnings.join("; ")}`);
  const view = new View(parse(spec, undefined, { ast: true }), {
    renderer: "none",
    expr: expressionInterpreter,
  } as never);
  const svg = await view.toSVG();
  view.finalize();
  const words = `<title>${escapeText(chart.title)}</title><desc>${escapeText(chart.description)}</desc>`;
  return svg
    .replace(/^<svg /, '<svg role="img" ')
    .replace(/^(<svg [^>]*>)/, (opening) => `${opening}${words}`);
}

const silent = {
  level: () => 0,
  error: (...texts: readonly unknown[]) => {
    throw new Error(texts.join(" "));
  },
  warn: () => undefined,
  info: () => undefined,
  debug: () => undefined,
};

function escapeText(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}
