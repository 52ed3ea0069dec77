import type { GroupedRows } from "./grouped-rows.ts";
import type { RowDerivatives, RowLikelihood } from "./row-likelihood.ts";

/**
 * Modes of the standardised random effects u, one a group, given (β, σ); kept between calls as the next start.
 * `find` leaves the group's predictors without the effect (`base`) and with it (`eta`) and their derivatives behind.
 */
export interface GroupModes {
  readonly mode: Float64Array;
  readonly base: Float64Array;
  readonly eta: Float64Array;
  readonly rows: RowDerivatives;
  /** False where the group's likelihood has no finite value to start from. */
  readonly find: (parameters: Float64Array, g: number) => boolean;
  /** η = base + shift·z for `count` rows from row `from` on. */
  readonly fillPredictors: (shift: number, from: number, count: number) => void;
  /** Inverse square root of the curvature in u at the mode just found. */
  readonly spread: (sigma: number, g: number) => number;
}

export function groupModes(grouped: GroupedRows, likelihood: RowLikelihood): GroupModes {
  const { coefficients: p, design, largestGroup } = grouped;
  const mode = new Float64Array(grouped.groups);
  const base = new Float64Array(largestGroup);
  const eta = new Float64Array(largestGroup);
  const rows = rowDerivatives(largestGroup);
  return { mode, base, eta, rows, find, fillPredictors, spread };

  /** Leaves base, eta, score and weight of the group's rows at the mode behind. */
  function find(parameters: Float64Array, g: number): boolean {
    const from = grouped.start[g];
    const count = grouped.start[g + 1] - from;
    for (let i = 0; i < count; i++) {
      let sum = grouped.offset[from + i];
      const at = (from + i) * p;
      for (let j = 0; j < p; j++) sum += design[at + j] * parameters[j];
      base[i] = sum;
    }
    // A mode left over from far away can be a worse start than none.
    return searchFrom(mode[g], parameters[p], g) || searchFrom(0, parameters[p], g);
  }

  /** Newton's method, kept inside the bracket that the signs of the slope give. */
  function searchFrom(start: number, sigma: number, g: number): boolean {
    const from = grouped.start[g];
    const count = grouped.start[g + 1] - from;
    let u = start;
    let low = Number.NEGATIVE_INFINITY;
    let high = Number.POSITIVE_INFINITY;
    for (let iteration = 0; iteration < 100; iteration++) {
      fillPredictors(sigma * u, from, count);
      likelihood.scoreAndWeight(eta, 0, grouped.total, grouped.size, from, count, rows);
      let slope = -u;
      let curvature = 1;
      for (let i = 0; i < count; i++) {
        const z = grouped.effect === null ? 1 : grouped.effect[from + i];
        slope += sigma * z * rows.score[i];
        curvature += sigma * sigma * z * z * rows.weight[i];
      }
      if (Number.isNaN(slope) || !(curvature < Number.MAX_VALUE)) {
        if (u === 0) return false;
        u = Math.abs(u) < 1e-8 ? 0 : u / 2;
        continue;
      }
      if (slope * slope < MODE_TOLERANCE * curvature) {
        mode[g] = u;
        return true;
      }
      // The slope falls in u, so its sign tells on which side of u the mode lies.
      if (slope > 0) low = u;
      else high = u;
      const next = u + slope / curvature;
      u = next > low && next < high ? next : bisect(low, high, u);
    }
    return false;
  }

  function fillPredictors(shift: number, from: number, count: number): void {
    if (grouped.effect === null) for (let i = 0; i < count; i++) eta[i] = base[i] + shift;
    else for (let i = 0; i < count; i++) eta[i] = base[i] + shift * grouped.effect[from + i];
  }

  function spread(sigma: number, g: number): number {
    const from = grouped.start[g];
    const count = grouped.start[g + 1] - from;
    let curvature = 1;
    for (let i = 0; i < count; i++) {
      const z = grouped.effect === null ? 1 : grouped.effect[from + i];
      curvature += sigma * sigma * z * z * rows.weight[i];
    }
    return 1 / Math.sqrt(curvature);
  }
}

export function rowDerivatives(rows: number): RowDerivatives {
  const array = () => new Float64Array(rows);
  return { score: array(), weight: array(), weightSlope: array(), weightCurvature: array() };
}

/** Half the squared Newton decrement below which a mode counts as found. */
const MODE_TOLERANCE = 1e-20;

function bisect(low: number, high: number, u: number): number {
  if (Number.isFinite(low) && Number.isFinite(high)) return (low + high) / 2;
  return Number.isFinite(low) ? Math.max(2 * u, u + 1) : Math.min(2 * u, u - 1);
}
