import type { Book } from "../book/book.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import type { Random } from "../statistics/random.ts";
import { twoStateProcess } from "../statistics/survival/two-state-process.ts";

/** Onsets per 100 animal-months and median days lame, with 95 % limits. */
export interface LamenessCourse {
  readonly onset: number;
  readonly onsetLo: number;
  readonly onsetHi: number;
  readonly medianDays: number;
  readonly medianLo: number;
  readonly medianHi: number;
}

/** Two successive scores of an animal in rounds: lame or not at each, and the days between. */
export interface ScorePair {
  readonly animal: string;
  readonly from: number;
  readonly to: number;
  readonly gap: number;
}

/** Onsets and recoveries seen from which rates are asked. */
const LEAST_MOVES = 10;
/** Share of gaps shorter than the process needs to forget its state, from which its two rates can be told apart. */
const LEAST_SHORT_GAPS = 0.25;
/** Samples without an estimate beyond which the limits would rest on a chosen few. Project default. */
const MOST_SILENT_SAMPLES = 0.05;
const DAYS_OF_100_ANIMAL_MONTHS = 3000;

/**
 * Rates of a two-state process seen at visits (Kalbfleisch and Lawless 1985, JASA 80:863-871), with limits from
 * samples of whole animals: normal on the log scale with the samples' standard deviation and Student's t on animals − 1.
 * `undefined` with fewer than 10 onsets or recoveries, or where under a quarter of the gaps are shorter than the time in
 * which a state is forgotten: such records tell the share of lame animals, not how they come and go.
 */
export function lamenessCourse(
  pairs: readonly ScorePair[],
  random: Random,
  samples: number,
): LamenessCourse | undefined {
  const from = Int32Array.from(pairs, (pair) => pair.from);
  const to = Int32Array.from(pairs, (pair) => pair.to);
  const gap = Float64Array.from(pairs, (pair) => pair.gap);
  const fit = twoStateProcess({ from, to, gap });
  if ("trouble" in fit || fit.onsetsSeen < LEAST_MOVES || fit.recoveriesSeen < LEAST_MOVES) return undefined;
  const memory = 1 / (fit.onset + fit.recovery);
  const short = gap.reduce((count, days) => count + (days < memory ? 1 : 0), 0);
  if (short < LEAST_SHORT_GAPS * gap.length) return undefined;

  const animals = new Map<string, number>();
  const of = Int32Array.from(pairs, ({ animal }) => {
    const known = animals.get(animal) ?? animals.size;
    animals.set(animal, known);
    return known;
  });
  const onsets: number[] = [];
  const recoveries: number[] = [];
  const drawn = new Int32Array(animals.size);
  for (let b = 0; b < samples; b++) {
    const times = new Float64Array(animals.size);
    for (const animal of random.substream(b).resample(drawn, animals.size)) times[animal]!++;
    const again = twoStateProcess({
      from,
      to,
      gap,
      weights: Float64Array.from(of, (animal) => times[animal]!),
    });
    if ("trouble" in again) continue;
    onsets.push(Math.log(again.onset));
    recoveries.push(Math.log(again.recovery));
  }
  if (samples - onsets.length > MOST_SILENT_SAMPLES * samples) return undefined;
  const t = tUpperQuantile(0.025, animals.size - 1);
  const onset = fit.onset * DAYS_OF_100_ANIMAL_MONTHS;
  const medianDays = Math.LN2 / fit.recovery;
  const onsetFactor = Math.exp(t * deviation(onsets));
  const medianFactor = Math.exp(t * deviation(recoveries));
  return {
    onset,
    onsetLo: onset / onsetFactor,
    onsetHi: onset * onsetFactor,
    medianDays,
    medianLo: medianDays / medianFactor,
    medianHi: medianDays * medianFactor,
  };
}

/** A pair and the group it counts in, the groups that saw too few moves left out. */
export interface GroupedPair extends ScorePair {
  readonly flock: string;
  readonly season: string;
  readonly group_kind: string;
  readonly group_value: string;
  readonly gait_scale: string;
}

/**
 * Successive scores of every group and season. A score given because the animal limped came on the day it did for
 * that reason, so that the gap before it says nothing: such scores are left out.
 */
export function readScorePairs(book: Book): Promise<GroupedPair[]> {
  return book.rows<GroupedPair>(`
    WITH pair AS (
      SELECT flock, animal, day, gait_scale, lame, lag(lame) OVER a AS was_lame, CAST(day - lag(day) OVER a AS INTEGER) AS gap
      FROM exposure.gait_day WHERE NOT for_cause WINDOW a AS (PARTITION BY flock, animal, gait_scale ORDER BY day)
    )
    SELECT p.flock, s.season, g.group_kind, g.group_value, p.gait_scale, p.animal, CAST(p.was_lame AS INTEGER) AS "from", CAST(p.lame AS INTEGER) AS "to", p.gap
    FROM pair p JOIN exposure.animal_day_group g ON g.flock = p.flock AND g.animal = p.animal AND g.day = p.day
    JOIN exposure.season s ON s.flock = p.flock AND p.day >= s.from_day AND p.day < s.to_day
    WHERE p.gap IS NOT NULL
    WINDOW w AS (PARTITION BY p.flock, s.season, g.group_kind, g.group_value, p.gait_scale)
    QUALIFY count(*) FILTER (NOT p.was_lame AND p.lame) OVER w >= ${LEAST_MOVES} AND count(*) FILTER (p.was_lame AND NOT p.lame) OVER w >= ${LEAST_MOVES}
    ORDER BY ALL`);
}

function deviation(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}
