import { type GaitScaleId, gaitScales } from "../records/gait-scales.ts";

/**
 * Where the liability passes from one score to the next, lowest scores first; the mark from which an animal is
 * lame lies at 0 on every scale. On the five-point scale a flock with few lame goats then scores about 36 % of
 * them 1 and 50 % of them 2, as 48 goats were scored by Deeming et al. 2018, J Dairy Sci 101:4491.
 */
const cuts: Record<GaitScaleId, readonly number[]> = {
  "1-5": [-3.5, 0, 1.3, 2.8],
  "0-4": [-3.5, -1.2, 0, 1.8],
  "0-3": [-2.4, 0, 1.8],
  "0-6": [-2.8, 0, 0.8, 1.6, 2.5, 3.6],
};

/** The score that a liability shows on a scale. */
export function gaitOfLiability(scale: GaitScaleId, liability: number): number {
  let score: number = gaitScales[scale].least;
  for (const cut of cuts[scale]) if (liability > cut) score++;
  return score;
}
