export interface WeightedPosition {
  readonly position: Float64Array;
  readonly weight: number;
}

/** Cells further than this below the top of the log-density are left out. */
const DEPTH = 8;
/** Step in conditional standard deviations: the midpoint rule is then exact to about 1 in 1,000. */
const STEP = 1.35;
const MOST_CELLS = 20_000;

/**
 * A grid over a log-density of nonnegative coordinates that is even in each of them, as the restricted
 * likelihood is in standard deviations: the midpoint rule on an even smooth function converges faster than
 * any power of the step (Trefethen & Weideman 2014, SIAM Rev. 56:385-458). Cells are found by spreading out
 * from the start as long as the density is not negligible. Weights add to 1.
 */
export function densityGrid(
  logDensity: (at: Float64Array) => number,
  start: Float64Array,
): WeightedPosition[] {
  const steps = conditionalSteps(logDensity, start);
  const cells = new Map<string, { cell: number[]; value: number }>();
  const valueAt = (cell: readonly number[]): number =>
    logDensity(Float64Array.from(cell, (c, k) => (c + 0.5) * steps[k]));
  const first = Array.from(start, (x, k) => Math.max(0, Math.floor(x / steps[k])));
  const queue = [first];
  cells.set(first.join(), { cell: first, value: valueAt(first) });
  let top = cells.get(first.join())?.value ?? Number.NEGATIVE_INFINITY;
  for (let head = 0; head < queue.length && cells.size < MOST_CELLS; head++) {
    const here = cells.get(queue[head].join());
    if (here === undefined || here.value < top - DEPTH) continue;
    for (let k = 0; k < start.length; k++) {
      for (const direction of [-1, 1]) {
        const cell = queue[head].map((c, l) => (l === k ? c + direction : c));
        if (cell[k] < 0 || cells.has(cell.join())) continue;
        const value = valueAt(cell);
        cells.set(cell.join(), { cell, value });
        top = Math.max(top, value);
        queue.push(cell);
      }
    }
  }
  const kept = [...cells.values()].filter(({ value }) => value > top - DEPTH);
  const total = kept.reduce((sum, { value }) => sum + Math.exp(value - top), 0);
  return kept.map(({ cell, value }) => ({
    position: Float64Array.from(cell, (c, k) => (c + 0.5) * steps[k]),
    weight: Math.exp(value - top) / total,
  }));
}

/** The step along each axis over which the density falls as a normal one does over STEP standard deviations. */
function conditionalSteps(logDensity: (at: Float64Array) => number, start: Float64Array): Float64Array {
  const top = logDensity(start);
  const wanted = STEP ** 2 / 2;
  return start.map((_, k) => {
    let step = 0.25 * Math.max(start[k], 0.5);
    for (let round = 0; round < 12; round++) {
      const moved = start.slice();
      moved[k] += step;
      const fall = top - logDensity(moved);
      if (fall > 0.7 * wanted && fall < 1.15 * wanted) break;
      step *= Math.min(3, Math.max(0.2, fall > 0 ? Math.sqrt(wanted / fall) : 3));
    }
    return step;
  });
}
