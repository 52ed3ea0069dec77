import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel } from "../interval.ts";
import type { Unfit } from "../verdict.ts";
import { unfit } from "./censored-times.ts";

/** Follow-up times with 1 (or true) where the event came then and 0 where observation ended without it. */
export interface RightCensoredInput {
  readonly time: ArrayLike<number>;
  readonly event: ArrayLike<number | boolean>;
}

/** One row per distinct follow-up time, ascending. */
export interface KaplanMeierFit {
  readonly verdict: "converged";
  readonly time: Float64Array;
  readonly atRisk: Float64Array;
  readonly events: Float64Array;
  readonly censored: Float64Array;
  /** P(T > time). */
  readonly survival: Float64Array;
  /** Greenwood's standard error of survival; null where survival has reached 0. */
  readonly standardError: readonly (number | null)[];
  /** Log-log limits; null while survival is 1 (nothing seen) or once it is 0. */
  readonly lo: readonly (number | null)[];
  readonly hi: readonly (number | null)[];
  readonly rows: number;
}

/** A time with limits; null where the curve, or its limit, never comes down that far. */
export interface TimeLimits {
  readonly time: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
}

/**
 * Product-limit estimate (Kaplan & Meier 1958, JASA 53:457-481) with Greenwood's variance and limits on the
 * log(−log) scale (Kalbfleisch & Prentice 1980). For event times seen exactly or right-censored only.
 */
export function kaplanMeier(input: RightCensoredInput, level = 0.95): KaplanMeierFit | Unfit {
  checkLevel(level);
  const rows = input.time.length;
  if (rows === 0) return unfit("no_rows", "no rows");
  if (input.event.length !== rows)
    return unfit("invalid_input", `event has ${input.event.length} of ${rows} rows`);
  for (let i = 0; i < rows; i++) {
    if (!(input.time[i] >= 0 && input.time[i] < Infinity)) {
      return unfit("invalid_input", `row ${i}: time ${input.time[i]}`);
    }
  }
  const order = Array.from({ length: rows }, (_, i) => i).sort((a, b) => input.time[a] - input.time[b]);
  const time: number[] = [];
  const atRisk: number[] = [];
  const events: number[] = [];
  const censored: number[] = [];
  order.forEach((i, k) => {
    if (time.length === 0 || time[time.length - 1] !== input.time[i]) {
      time.push(input.time[i]);
      atRisk.push(rows - k);
      events.push(0);
      censored.push(0);
    }
    if (input.event[i]) events[events.length - 1]++;
    else censored[censored.length - 1]++;
  });
  const z = normalUpperQuantile((1 - level) / 2);
  const survival = new Float64Array(time.length);
  const standardError: (number | null)[] = [];
  const lo: (number | null)[] = [];
  const hi: (number | null)[] = [];
  let alive = 1;
  let greenwood = 0;
  for (let k = 0; k < time.length; k++) {
    alive *= 1 - events[k] / atRisk[k];
    if (events[k] > 0) greenwood += events[k] / (atRisk[k] * (atRisk[k] - events[k]));
    survival[k] = alive;
    standardError.push(alive > 0 ? alive * Math.sqrt(greenwood) : null);
    if (alive > 0 && alive < 1) {
      const spread = Math.exp((z * Math.sqrt(greenwood)) / Math.log(alive));
      hi.push(alive ** spread);
      lo.push(alive ** (1 / spread));
    } else {
      hi.push(null);
      lo.push(null);
    }
  }
  return {
    verdict: "converged",
    time: Float64Array.from(time),
    atRisk: Float64Array.from(atRisk),
    events: Float64Array.from(events),
    censored: Float64Array.from(censored),
    survival,
    standardError,
    lo,
    hi,
    rows,
  };
}

/**
 * Time by which a fraction `p` has had the event, its limits being the times at which the curve's own limits come
 * down to 1 − p (Brookmeyer & Crowley 1982, Biometrics 38:29-41). A stretch that lies exactly at 1 − p gives its
 * middle.
 */
export function kaplanMeierQuantile(fit: KaplanMeierFit, p: number): TimeLimits {
  if (!(p > 0 && p < 1)) throw new RangeError(`a fraction lies between 0 and 1, not ${p}`);
  return {
    time: comesDownTo(fit, fit.survival, 1 - p),
    lo: comesDownTo(fit, fit.lo, 1 - p),
    hi: comesDownTo(fit, fit.hi, 1 - p),
  };
}

function comesDownTo(fit: KaplanMeierFit, curve: ArrayLike<number | null>, level: number): number | null {
  for (let k = 0; k < curve.length; k++) {
    const here = curve[k] ?? (fit.survival[k] === 1 ? 1 : null);
    if (here === null || here > level + 1e-12) continue;
    if (here < level - 1e-12) return fit.time[k];
    for (let next = k + 1; next < curve.length; next++) {
      const value = curve[next];
      if (value !== null && value < level - 1e-12) return (fit.time[k] + fit.time[next]) / 2;
    }
    return fit.time[k];
  }
  return null;
}
