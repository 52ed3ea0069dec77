/** Where a function of one variable is least on an interval, and its value there. */
export interface LineMinimum {
  readonly point: number;
  readonly value: number;
  readonly evaluations: number;
}

/**
 * A local minimum of a function on [low, high] without derivatives: golden section sped up by parabolas (Brent
 * 1973, Algorithms for Minimization without Derivatives, chapter 5). `tolerance` is relative (default 1e-8, about
 * the square root of the arithmetic's own).
 */
export function minimizeLine(
  f: (x: number) => number,
  low: number,
  high: number,
  tolerance = 1e-8,
): LineMinimum {
  const golden = 0.5 * (3 - Math.sqrt(5));
  let a = low;
  let b = high;
  let x = a + golden * (b - a);
  let w = x;
  let v = x;
  let fx = f(x);
  let fw = fx;
  let fv = fx;
  let step = 0;
  let before = 0;
  let evaluations = 1;
  for (; evaluations < 200; evaluations++) {
    const middle = 0.5 * (a + b);
    const precision = tolerance * Math.abs(x) + 1e-12;
    if (Math.abs(x - middle) <= 2 * precision - 0.5 * (b - a)) break;
    const parabola = parabolicStep(x, w, v, fx, fw, fv);
    const held = before;
    before = step;
    if (
      parabola !== null &&
      Math.abs(held) > precision &&
      Math.abs(parabola) < Math.abs(0.5 * held) &&
      x + parabola > a &&
      x + parabola < b
    ) {
      step = parabola;
      const reached = x + step;
      if (reached - a < 2 * precision || b - reached < 2 * precision)
        step = x < middle ? precision : -precision;
    } else {
      before = x < middle ? b - x : a - x;
      step = golden * before;
    }
    const u = x + (Math.abs(step) >= precision ? step : Math.sign(step) * precision);
    const fu = f(u);
    if (fu <= fx) {
      if (u < x) b = x;
      else a = x;
      v = w;
      fv = fw;
      w = x;
      fw = fx;
      x = u;
      fx = fu;
    } else {
      if (u < x) a = u;
      else b = u;
      if (fu <= fw || w === x) {
        v = w;
        fv = fw;
        w = u;
        fw = fu;
      } else if (fu <= fv || v === x || v === w) {
        v = u;
        fv = fu;
      }
    }
  }
  return { point: x, value: fx, evaluations };
}

function parabolicStep(x: number, w: number, v: number, fx: number, fw: number, fv: number): number | null {
  const r = (x - w) * (fx - fv);
  const q = (x - v) * (fx - fw);
  const denominator = 2 * (q - r);
  if (denominator === 0) return null;
  return -((x - v) * q - (x - w) * r) / denominator;
}
