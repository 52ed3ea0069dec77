import { type Book, quoteText } from "../../book/book.ts";
import type { LogisticAnimalModelInput } from "../../statistics/pedigree/logistic-animal-model.ts";
import { indexDesign } from "../../statistics/pedigree/sparse-design.ts";
import { yearAngle } from "../growth-design.ts";
import type { HerdPedigree } from "./herd-pedigree.ts";

/** A flock's scores as records of a logistic animal model, and what they rest on. */
export interface LamenessRecords {
  readonly input: LogisticAnimalModelInput;
  readonly scoredAnimals: number;
  readonly everLame: number;
  /** Scores of each animal of the pedigree. */
  readonly scores: Int32Array;
}

/** Share of the scores from which a level of age or class has an effect of its own. Project default. */
const LEAST_SHARE = 0.03;

interface ScoreCount {
  animal: string;
  pen: string | null;
  month: number;
  age_band: string;
  class: string;
  trials: number;
  lame: number;
}

/**
 * Scores of the flock's commonest scale that somebody gave, those for cause apart, as counts by animal, pen, month, age band
 * and class. Fixed part: age band, class, and a yearly wave; beside the genetic term: pen and pen-by-month.
 */
export async function readLamenessRecords(
  book: Book,
  flock: string,
  herd: HerdPedigree,
): Promise<LamenessRecords | null> {
  const id = quoteText(flock);
  const counts = await book.rows<ScoreCount>(`
    WITH main AS (SELECT gait_scale FROM exposure.gait_day WHERE flock = ${id} GROUP BY ALL ORDER BY count(*) DESC, gait_scale LIMIT 1)
    SELECT g.animal, g.pen, day_no(date_trunc('month', g.day)) AS month, d.age_band, d.class,
      CAST(count(*) AS INTEGER) AS trials, CAST(count(*) FILTER (g.lame) AS INTEGER) AS lame
    FROM exposure.gait_day g JOIN main USING (gait_scale) JOIN exposure.animal_day d USING (flock, animal, day)
    WHERE g.flock = ${id} AND NOT g.assumed AND NOT g.for_cause
    GROUP BY ALL ORDER BY ALL`);
  if (counts.length === 0) return null;
  const known = counts.filter(({ animal }) => herd.place.has(animal));
  const scores = new Int32Array(herd.tags.length);
  const lame = new Int32Array(herd.tags.length);
  for (const { animal, trials, lame: times } of known) {
    scores[herd.place.get(animal)!]! += trials;
    lame[herd.place.get(animal)!]! += times;
  }
  const all = known.reduce((sum, { trials }) => sum + trials, 0);
  const levelColumns = (of: (count: ScoreCount) => string): Float64Array[] => {
    const size = new Map<string, number>();
    for (const count of known) size.set(of(count), (size.get(of(count)) ?? 0) + count.trials);
    const [, ...others] = [...size].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
    return others
      .filter(([, trials]) => trials >= LEAST_SHARE * all)
      .map(([level]) => Float64Array.from(known, (count) => (of(count) === level ? 1 : 0)));
  };
  const middle = (count: ScoreCount): number => yearAngle(count.month + 15);
  const pens = placesOf(known.map(({ pen }) => pen));
  const penMonths = placesOf(known.map(({ pen, month }) => (pen === null ? null : `${pen}\n${month}`)));
  return {
    input: {
      successes: known.map((count) => count.lame),
      trials: known.map(({ trials }) => trials),
      fixed: [
        new Float64Array(known.length).fill(1),
        ...levelColumns((count) => count.age_band),
        Float64Array.from(known, (count) => Math.cos(middle(count))),
        Float64Array.from(known, (count) => Math.sin(middle(count))),
      ],
      pedigree: herd.pedigree,
      animal: indexDesign(
        Int32Array.from(known, ({ animal }) => herd.place.get(animal)!),
        herd.tags.length,
      ),
      groups: herd.groups,
      others: [
        ...(pens.count >= 3 ? [{ name: "pen", design: indexDesign(pens.of, pens.count) }] : []),
        ...(penMonths.count > pens.count
          ? [{ name: "pen_month", design: indexDesign(penMonths.of, penMonths.count) }]
          : []),
      ],
    },
    scoredAnimals: scores.filter((n) => n > 0).length,
    everLame: lame.filter((n) => n > 0).length,
    scores,
  };
}

function placesOf(cells: readonly (string | null)[]): { readonly count: number; readonly of: Int32Array } {
  const levels = new Map<string, number>();
  const of = Int32Array.from(cells, (cell) => {
    if (cell === null) return -1;
    const known = levels.get(cell);
    if (known !== undefined) return known;
    levels.set(cell, levels.size);
    return levels.size - 1;
  });
  return { count: levels.size, of };
}
