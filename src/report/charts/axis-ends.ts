/** What an axis of figures measures and how far they reach, so that charts of one measure can share a scale. */
export interface MeasuredAxis {
  readonly measure: string;
  readonly scale: "linear" | "ratio";
  readonly isShare: boolean;
  /** Least and greatest figure to be shown. */
  readonly span: readonly [number, number];
  /** About how many steps are marked. */
  readonly steps: number;
}

/** Least and greatest of the values that are known; null without any. */
export function spanOf(values: readonly (number | null)[]): readonly [number, number] | null {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  return known.length === 0 ? null : [Math.min(...known), Math.max(...known)];
}

/** Parameters of a chart's axis of figures: its round ends, marked ratios, and number format. */
export function axisParams({ scale, isShare, span, steps }: MeasuredAxis): {
  readonly ends: readonly [number, number];
  readonly ticks: readonly number[];
  readonly numberFormat: string;
} {
  const linear = axisEnds(span);
  const ends = scale === "ratio" ? ratioEnds(span) : ([linear.from, linear.to] as const);
  return {
    ends,
    ticks: scale === "ratio" ? ratioTicks(ends) : [],
    numberFormat: axisFormat(ends, isShare, scale === "ratio", steps),
  };
}

/** How a chart's template draws an axis of figures from those parameters. */
export function measuredAxis(scale: "linear" | "log") {
  return {
    type: "quantitative",
    scale: {
      type: scale,
      domainMin: { expr: "ends[0]" },
      domainMax: { expr: "ends[1]" },
      nice: false,
      ...(scale === "linear" ? { zero: false } : {}),
    },
    axis: {
      labelExpr: "format(datum.value, numberFormat)",
      grid: true,
      ...(scale === "log" ? { values: { expr: "ticks" } } : {}),
    },
  } as const;
}

/** Ends and step of an axis in round numbers. */
export interface AxisEnds {
  readonly from: number;
  readonly to: number;
  readonly step: number;
}

/**
 * Round ends that hold all values, with about `ticks` steps of 1, 2 or 5 times a power of ten between them.
 * Without any value, 0 to 1.
 */
export function axisEnds(values: readonly (number | null)[], ticks = 5): AxisEnds {
  const known = values.filter((value): value is number => value !== null && Number.isFinite(value));
  if (known.length === 0) return { from: 0, to: 1, step: 0.5 };
  const least = Math.min(...known);
  const most = Math.max(...known);
  const span = most - least || Math.abs(most) || 1;
  const step = roundStep(span / ticks);
  const from = tidy(Math.floor(least / step + 1e-9) * step);
  const to = tidy(Math.ceil(most / step - 1e-9) * step);
  return { from, to: to > from ? to : tidy(from + step), step };
}

/** Ends the same distance on both sides of 1 for a ratio, that hold all values: 1/2 to 2, 1/5 to 5. */
export function ratioEnds(values: readonly (number | null)[]): readonly [number, number] {
  const known = values.filter((value): value is number => value !== null && value > 0);
  const far = Math.max(2, ...known.map((value) => Math.max(value, 1 / value)));
  const end = [2, 5, 10, 20, 50, 100].find((one) => one >= far * 0.999) ?? 10 ** Math.ceil(Math.log10(far));
  return [1 / end, end];
}

/** Ticks of a ratio axis. */
export function ratioTicks([from, to]: readonly [number, number]): readonly number[] {
  // far reaches are marked in tens alone, so that labels stay apart and 1 among them
  const marks = to > 20 ? [0.001, 0.01, 0.1, 1, 10, 100, 1000] : [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20];
  return marks.filter((tick) => tick >= from * 0.999 && tick <= to * 1.001);
}

/** The number format of an axis, in d3's notation: as many decimals as its steps need. */
export function axisFormat(
  [from, to]: readonly [number, number],
  share: boolean,
  ratio: boolean,
  ticks = 5,
): string {
  if (ratio) return "~g";
  const step = drawnStep((to - from) / ticks) * (share ? 100 : 1);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return `.${decimals}${share ? "%" : "f"}`;
}

function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const times = rough / power;
  return (times <= 1 ? 1 : times <= 2 ? 2 : times <= 5 ? 5 : 10) * power;
}

/** The step that the drawing comes to when asked for about so many: the nearest of 1, 2, 5 and 10 by ratio. */
function drawnStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough) + 1e-9);
  const times = rough / power;
  return (times >= Math.sqrt(50) ? 10 : times >= Math.sqrt(10) ? 5 : times >= Math.SQRT2 ? 2 : 1) * power;
}

/** Undoes the last digits that floating point adds to multiples of a step. */
function tidy(value: number): number {
  return Number(value.toPrecision(12));
}
