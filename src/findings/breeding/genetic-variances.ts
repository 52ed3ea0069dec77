import { code } from "../../records/codes.ts";
import type { VarianceAverage } from "../../statistics/pedigree/variance-average.ts";
import type { VarianceRow } from "../variance.ts";

/** The name under which a term of the genetic model stands in `variance`. */
export function componentOf(term: string): string {
  return term === "animal" ? "additive" : term === "group" ? "line" : term;
}

/** A genetic model's variances and what the records leave open of them. */
export interface KnownVariances {
  readonly flock: string;
  readonly trait: "growth" | "lameness";
  readonly names: readonly string[];
  readonly variances: ArrayLike<number>;
  /** Their asymptotic standard errors, where there are some. */
  readonly standardErrors: ArrayLike<number> | null;
  readonly average: VarianceAverage;
  /** Variance that is part of every whole beside the terms: that of the logistic distribution on a liability. */
  readonly beside: number;
  /** Whether the share of the additive variance may be told. */
  readonly heritable: boolean;
}

/**
 * Variances of a genetic model with their shares of all that stays with animal, line and place, or of the liability;
 * limits over what the records leave open of the variances. A residual is that of an interval's mean and depends on
 * how often claws were read: no part of a share.
 */
export function geneticVariances(of: KnownVariances): readonly VarianceRow[] {
  const { flock, trait, names, variances, standardErrors, average, beside, heritable } = of;
  const terms = names.filter((name) => name !== "residual").length;
  const sharesOf = (parts: ArrayLike<number>): number[] => {
    const own = Array.from({ length: terms }, (_, k) => parts[k]!);
    const whole = own.reduce((sum, part) => sum + part, beside);
    return own.map((part) => (whole > 0 ? part / whole : 0));
  };
  const shares = sharesOf(variances);
  const points = average.points.map(({ ratios, residualScale, weight }) => ({
    weight,
    shares: sharesOf(ratios.map((ratio) => ratio * ratio * residualScale)),
  }));
  const limit = (k: number, p: number): number =>
    weightedQuantile(
      points.map((point) => [point.shares[k]!, point.weight]),
      p,
    );
  return names.map((name, k) => {
    const told = k < terms && (k > 0 || heritable);
    return {
      flock,
      trait,
      model: "breeding",
      component: componentOf(name),
      variance: variances[k]!,
      se: standardErrors === null ? null : standardErrors[k]!,
      share: told ? shares[k]! : null,
      share_lo: told ? limit(k, 0.025) : null,
      share_hi: told ? limit(k, 0.975) : null,
      caution:
        k === 0 && !heritable ? code("not_heritable_here") : variances[k] === 0 ? code("found_alike") : null,
    };
  });
}

/** The smallest value by which a share `p` of the weight is reached. */
function weightedQuantile(values: readonly (readonly [number, number])[], p: number): number {
  const sorted = [...values].sort((a, b) => a[0] - b[0]);
  const all = sorted.reduce((sum, [, weight]) => sum + weight, 0);
  let reached = 0;
  for (const [value, weight] of sorted) {
    reached += weight;
    if (reached >= p * all) return value;
  }
  return sorted.at(-1)![0];
}
