import type { Book } from "../book/book.ts";
import { normalUpperQuantile } from "../statistics/distributions/normal.ts";
import { fitProportionalOdds } from "../statistics/ordinal/proportional-odds.ts";

/** Odds of a worse gait among a group's lame animals against the lame animals of the other groups of its kind. */
export interface Severity {
  readonly ratio: number;
  readonly lo: number;
  readonly hi: number;
}

/** The worst score of each animal that was ever lame, by group. */
export interface WorstScore {
  readonly flock: string;
  readonly season: string;
  readonly group_kind: string;
  readonly group_value: string;
  readonly gait_scale: string;
  readonly animal: string;
  readonly worst: number;
}

/** Lame animals in a group, and outside it, from which severity is compared. */
const LEAST_LAME = 4;

/** Each lame animal's worst score of a season in each of its groups. */
export function readWorstScores(book: Book): Promise<WorstScore[]> {
  return book.rows<WorstScore>(`
    SELECT d.flock, s.season, g.group_kind, g.group_value, d.gait_scale, d.animal, CAST(max(d.gait) AS DOUBLE) AS worst
    FROM exposure.gait_day d JOIN exposure.animal_day_group g ON g.flock = d.flock AND g.animal = d.animal AND g.day = d.day
    JOIN exposure.season s ON s.flock = d.flock AND d.day >= s.from_day AND d.day < s.to_day
    WHERE d.lame GROUP BY ALL ORDER BY ALL`);
}

/**
 * Proportional odds of a worse gait (McCullagh 1980, J. R. Stat. Soc. B 42:109-142) in a group against the others,
 * each lame animal counted once by its worst score; Wald limits. `undefined` with fewer than four lame animals on
 * either side, where all limp alike, or where one side is always worse.
 */
export function severityAgainstOthers(
  own: readonly number[],
  others: readonly number[],
): Severity | undefined {
  if (own.length < LEAST_LAME || others.length < LEAST_LAME) return undefined;
  const scores = [...new Set([...own, ...others])].sort((a, b) => a - b);
  const fit = fitProportionalOdds({
    outcome: Int32Array.from([...own, ...others], (score) => scores.indexOf(score)),
    categories: scores.length,
    names: ["in the group"],
    columns: [Float64Array.from([...own.map(() => 1), ...others.map(() => 0)])],
  });
  if ("trouble" in fit) return undefined;
  const beta = fit.coefficients[0]!;
  const half = normalUpperQuantile(0.025) * fit.standardErrors[0]!;
  return { ratio: Math.exp(beta), lo: Math.exp(beta - half), hi: Math.exp(beta + half) };
}
