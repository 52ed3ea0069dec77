import type { DrawChart } from "../report/charts/chart.ts";

/** Draws equal charts once: the same picture stands on several pages. */
export function drawOnce(draw: DrawChart): DrawChart {
  const drawn = new Map<string, Promise<string>>();
  return (chart, size) => {
    const key = JSON.stringify([chart.template.name, size, chart.params, chart.data, chart.title]);
    const drawing = drawn.get(key) ?? draw(chart, size);
    drawn.set(key, drawing);
    return drawing;
  };
}
