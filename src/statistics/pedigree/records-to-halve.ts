import { factorize, solve } from "../linear-algebra/sparse-cholesky.ts";
import { type SymbolicFactor, symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import { type AnimalWeights, breedingLoad } from "./breeding-value-scale.ts";
import { type GeneticFrame, geneticFrame } from "./genetic-frame.ts";
import { inbreeding } from "./inbreeding.ts";
import { coefficientValues, effectScale } from "./mixed-model-equations.ts";
import {
  type RecordedDesign,
  type TermsOfRecords,
  type WiderRecords,
  withMoreAnimals,
  withMoreVisits,
} from "./wider-records.ts";

/** What would halve the standard error of one weighted sum of breeding values; null: no number would. */
export interface RecordsToHalve {
  /** New goats like those there, for each one there. */
  readonly animalsForEach: number | null;
  /** More visits at which every goat is recorded once. */
  readonly visits: number | null;
}

/**
 * For each sum what would halve its standard error, at the variances given: either more goats or more visits, the other
 * left as it is. `recordsOf`: records of each animal.
 */
export function recordsToHalve(
  of: RecordedDesign,
  recorded: readonly number[],
  recordsOf: ArrayLike<number>,
  sums: readonly AnimalWeights[],
  terms: TermsOfRecords,
): readonly RecordsToHalve[] {
  const there: WiderRecords = { of, kin: inbreeding(of.design.pedigree), sum: (sum) => sum };
  const now = sumErrorVariances(() => there, sums)(0);
  const animals = sumErrorVariances((times) => withMoreAnimals(of, recorded, times, terms), sums);
  const visits = sumErrorVariances((times) => withMoreVisits(of, recorded, recordsOf, times, terms), sums);
  const animalsForEach = timesToQuarter(now, animals);
  const visitsOf = timesToQuarter(now, visits);
  return sums.map((_, s) => ({ animalsForEach: animalsForEach[s]!, visits: visitsOf[s]! }));
}

/**
 * Error variances of the sums, in units of the residual variance, as records are added `times` over: by the inverse of
 * the mixed-model equations. Their pattern is the same for any number of times.
 */
export function sumErrorVariances(
  widened: (times: number) => WiderRecords,
  sums: readonly AnimalWeights[],
): (times: number) => Float64Array {
  let symbolic: SymbolicFactor | undefined;
  return (times) => {
    const { of, kin, sum } = widened(times);
    const frame = geneticFrame(of.design, kin);
    const { product, fixedCount } = frame.equations;
    symbolic ??= symbolicCholesky(product.pattern, { last: fixedCount });
    return errorVariances(frame, symbolic, of, sums.map(sum));
  };
}

function errorVariances(
  frame: GeneticFrame,
  symbolic: SymbolicFactor,
  { weights, ratios }: RecordedDesign,
  sums: readonly AnimalWeights[],
): Float64Array {
  const { equations } = frame;
  const scale = effectScale(equations, ratios);
  const factor = factorize(symbolic, coefficientValues(equations, equations.product.values(weights), scale));
  if (!factor.positiveDefinite) throw new RangeError("the mixed-model equations are not positive definite");
  return Float64Array.from(sums, (sum) => {
    const load = breedingLoad(frame, scale, sum);
    const answer = solve(factor, load);
    return load.reduce((total, value, i) => total + value * answer[i]!, 0);
  });
}

/**
 * Powers of two between which the number of times is sought, and the one from which on: errors that fall as the root of
 * what they rest on are halved by three times as many more. Above the last it is said that no number would do.
 */
const FIRST_POWER = -3;
const LIKELY_POWER = 2;
const LAST_POWER = 8;

/** Where each variance falls to a quarter: between two powers of two, and there by the logarithms. */
function timesToQuarter(
  now: Float64Array,
  varianceAt: (times: number) => Float64Array,
): readonly (number | null)[] {
  const met = new Map<number, Float64Array>();
  const shareAt = (power: number, s: number): number => {
    const variance = met.get(power) ?? varianceAt(2 ** power);
    met.set(power, variance);
    return (4 * variance[s]!) / now[s]!;
  };
  return Array.from(now, (_, s) => {
    let low = LIKELY_POWER;
    while (low > FIRST_POWER && shareAt(low, s) <= 1) low--;
    let high = low + 1;
    if (low === LIKELY_POWER) {
      if (shareAt(LAST_POWER, s) > 1) return null;
      while (shareAt(high, s) > 1) high++;
      low = high - 1;
    }
    const above = Math.log(shareAt(low, s));
    const below = Math.log(shareAt(high, s));
    return above <= 0 ? 2 ** low : 2 ** (low + above / (above - below));
  });
}
