import { axisParams, type MeasuredAxis } from "./axis-ends.ts";
import type { Chart } from "./chart.ts";

/** The charts of a page, those of one measure on one scale: a length on it means the same all over the page. */
export function withSharedScales(charts: readonly Chart[]): readonly Chart[] {
  const widest = new Map<string, MeasuredAxis>();
  for (const { measured } of charts) {
    if (!measured) continue;
    const key = keyOf(measured);
    const known = widest.get(key);
    widest.set(key, known ? { ...known, span: joined(known.span, measured.span) } : measured);
  }
  return charts.map((chart) => {
    if (!chart.measured) return chart;
    const measured = { ...chart.measured, span: widest.get(keyOf(chart.measured))!.span };
    return { ...chart, measured, params: { ...chart.params, ...axisParams(measured) } };
  });
}

const keyOf = ({ measure, scale }: MeasuredAxis): string => `${scale}\n${measure}`;

function joined(a: readonly [number, number], b: readonly [number, number]): readonly [number, number] {
  return [Math.min(a[0], b[0]), Math.max(a[1], b[1])];
}
