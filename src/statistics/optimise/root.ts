/** A zero of a function of one variable, or why there is none. */
export type RootResult =
  | { readonly found: true; readonly root: number; readonly evaluations: number }
  | { readonly found: false; readonly reason: "no_sign_change" | "not_finite"; readonly evaluations: number };

export interface RootOptions {
  /** Absolute tolerance of the root (default 1e-12). */
  readonly tolerance?: number;
  /** Default 100. */
  readonly maximumEvaluations?: number;
}

/**
 * A zero of a continuous function between `low` and `high`, where its signs differ: bisection sped up by inverse
 * quadratic steps (Brent 1973, Algorithms for Minimization without Derivatives, chapter 4).
 */
export function findRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  options: RootOptions = {},
): RootResult {
  const tolerance = options.tolerance ?? 1e-12;
  const limit = options.maximumEvaluations ?? 100;
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  let evaluations = 2;
  if (!Number.isFinite(fa) || !Number.isFinite(fb))
    return { found: false, reason: "not_finite", evaluations };
  if (fa * fb > 0) return { found: false, reason: "no_sign_change", evaluations };
  let c = a;
  let fc = fa;
  let step = b - a;
  let before = step;
  while (fb !== 0 && evaluations < limit) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      before = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b;
      b = c;
      c = a;
      fa = fb;
      fb = fc;
      fc = fa;
    }
    const precision = 2 * Number.EPSILON * Math.abs(b) + 0.5 * tolerance;
    const middle = 0.5 * (c - b);
    if (Math.abs(middle) <= precision) break;
    const guess = interpolate(a, b, c, fa, fb, fc);
    const useful =
      guess !== null &&
      Math.abs(before) >= precision &&
      Math.abs(fa) > Math.abs(fb) &&
      Math.sign(guess) === Math.sign(middle) &&
      Math.abs(guess) <
        Math.min(1.5 * Math.abs(middle) - Math.abs(precision), 0.5 * Math.abs(before) + precision);
    before = useful ? step : middle;
    step = useful ? guess : middle;
    a = b;
    fa = fb;
    b += Math.abs(step) > precision ? step : Math.sign(middle) * precision;
    fb = f(b);
    evaluations++;
    if (!Number.isFinite(fb)) return { found: false, reason: "not_finite", evaluations };
  }
  return { found: true, root: b, evaluations };
}

/** Step from b to the zero of the parabola (or line) through the three points; null where it breaks down. */
function interpolate(a: number, b: number, c: number, fa: number, fb: number, fc: number): number | null {
  const s = fb / fa;
  let p: number;
  let q: number;
  if (a === c) {
    p = (c - b) * s;
    q = s - 1;
  } else {
    const r = fb / fc;
    const t = fa / fc;
    p = s * ((c - b) * t * (t - r) - (b - a) * (r - 1));
    q = -(t - 1) * (r - 1) * (s - 1);
  }
  return q === 0 || !Number.isFinite(p / q) ? null : p / q;
}
