import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import type { Flock } from "../records/flock.ts";
import { fitBetaBinomial } from "../statistics/generalized-linear/beta-binomial.ts";

/** A gait score given on a round, and the chance of lameness that the season before gives its animal. */
export interface WatchedScore {
  readonly pen: string;
  readonly gaitScale: string;
  readonly animal: string;
  readonly day: number;
  readonly lame: boolean;
  /** null: the season before tells too little. */
  readonly expected: number | null;
}

/** Scores and animals of a season from which the next is told. Project defaults. */
const LEAST_SCORES = 30;
const LEAST_ANIMALS = 5;

/**
 * The scores of a flock, scores for cause apart, in order of pen, scale, day and animal. What is expected of an animal is
 * its own share of lame scores in the season before, drawn toward the flock's by how far shares differ between animals
 * beyond chance (beta-binomial: Williams 1975, Biometrics 31:949-952).
 */
export async function readWatchedScores(book: Book, flock: Flock): Promise<WatchedScore[]> {
  const scores = await book.rows<{
    pen: string;
    gait_scale: string;
    animal: string;
    day: number;
    lame: boolean;
  }>(
    `SELECT pen, gait_scale, animal, day_no(day) AS day, lame FROM exposure.gait_day
     WHERE flock = ${quoteText(flock.id)} AND NOT for_cause AND pen IS NOT NULL ORDER BY pen, gait_scale, day, animal`,
  );
  const seasonOf = (day: number): number =>
    flock.seasons.findIndex(({ from, to }) => day >= from && day < to);
  const seasons = new Map<string, Map<string, Count>>();
  for (const score of scores) {
    const key = `${seasonOf(score.day)}|${score.gait_scale}`;
    const animals = seasons.get(key) ?? new Map<string, Count>();
    seasons.set(key, animals);
    const own = animals.get(score.animal) ?? { scores: 0, lame: 0 };
    animals.set(score.animal, { scores: own.scores + 1, lame: own.lame + Number(score.lame) });
  }
  const baselines = new Map([...seasons].map(([key, animals]) => [key, baselineOf(animals)]));
  return scores.map(({ pen, gait_scale, animal, day, lame }) => {
    const baseline = baselines.get(`${seasonOf(day) - 1}|${gait_scale}`);
    return { pen, gaitScale: gait_scale, animal, day, lame, expected: baseline?.(animal) ?? null };
  });
}

interface Count {
  readonly scores: number;
  readonly lame: number;
}

/** The chance of lameness of any animal after a season; undefined where the season tells too little. */
function baselineOf(animals: ReadonlyMap<string, Count>): ((animal: string) => number) | undefined {
  const counts = [...animals.values()];
  const total = counts.reduce((sum, { scores }) => sum + scores, 0);
  if (total < LEAST_SCORES || counts.length < LEAST_ANIMALS) return undefined;
  const lame = counts.reduce((sum, count) => sum + count.lame, 0);
  const fit = fitBetaBinomial({
    family: { distribution: "binomial", link: "logit" },
    names: ["(all)"],
    columns: [new Float64Array(counts.length).fill(1)],
    outcome: Float64Array.from(counts, (count) => count.lame),
    trials: Float64Array.from(counts, (count) => count.scores),
  });
  // Where all or none were lame, or animals are all alike, everyone is expected like the flock.
  if ("trouble" in fit || fit.correlation === 0) {
    const share = (lame + 0.5) / (total + 1);
    return () => share;
  }
  const share = fit.fitted[0]!;
  const weight = (1 - fit.correlation) / fit.correlation;
  return (animal) => {
    const own = animals.get(animal) ?? { scores: 0, lame: 0 };
    return (own.lame + weight * share) / (own.scores + weight);
  };
}
