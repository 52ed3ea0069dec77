import { binomialCumulative, binomialProbability, binomialUpperTail } from "../distributions/binomial.ts";

/** Outcomes as likely as the one seen, up to rounding, count as equally extreme. */
const TIE = 1 + 1e-7;

/**
 * Two-sided exact p-value of `successes` in `trials` under success probability `p`: the probability of every
 * outcome no likelier than the one seen. `undefined` with no trials.
 */
export function binomialTest(successes: number, trials: number, p: number): number | undefined {
  if (!(Number.isInteger(successes) && successes >= 0 && successes <= trials && p >= 0 && p <= 1)) {
    throw new RangeError(`impossible counts or probability: ${successes} of ${trials} at ${p}`);
  }
  if (trials === 0) return undefined;
  if (p === 0) return successes === 0 ? 1 : 0;
  if (p === 1) return successes === trials ? 1 : 0;
  const mean = trials * p;
  if (successes === mean) return 1;
  const cut = binomialProbability(successes, trials, p) * TIE;
  if (successes < mean) {
    const first = firstWhere(Math.ceil(mean), trials + 1, (k) => binomialProbability(k, trials, p) <= cut);
    return Math.min(1, binomialCumulative(successes, trials, p) + binomialUpperTail(first - 1, trials, p));
  }
  const beyond = firstWhere(0, Math.floor(mean) + 1, (k) => binomialProbability(k, trials, p) > cut);
  return Math.min(1, binomialCumulative(beyond - 1, trials, p) + binomialUpperTail(successes - 1, trials, p));
}

/** The first whole k in [from, to) where a condition that stays true once true holds; `to` if nowhere. */
function firstWhere(from: number, to: number, condition: (k: number) => boolean): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (condition(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}
