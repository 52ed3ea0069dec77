import { quoteText } from "../../book/book.ts";
import { code } from "../../records/codes.ts";
import type { Flock } from "../../records/flock.ts";
import { type Finding, type FindingContext, insertRows } from "../finding.ts";
import { growthOf } from "../growth-figures.ts";
import { onceAFlock } from "../once-a-flock.ts";
import { varianceTable } from "../variance.ts";
import { breedingValueTable, lineTable } from "./breeding-tables.ts";
import { growthRecords, knownGrowth } from "./growth-records.ts";
import { type HerdPedigree, readHerdPedigree } from "./herd-pedigree.ts";
import { readLamenessRecords } from "./lameness-records.ts";
import { silentLines } from "./line-rows.ts";
import { growthLinesJob, lamenessLinesJob, type TraitRows } from "./line-traits.ts";

/** Scored animals, and those of them ever lame, from which breeding values of lameness are told. */
const LEAST_SCORED = 100;
const LEAST_EVER_LAME = 30;
/** The same from which lines are compared, with no value of a single animal. Project default. */
const LEAST_SCORED_OF_LINES = 20;
const LEAST_EVER_LAME_OF_LINES = 10;

/** Breeding values and lines, for growth and for lameness, from one genetic model each. */
export const lines: Finding = {
  tables: [lineTable, breedingValueTable],
  begin: (context) => traitsOf.begin(context),
  async fill(context) {
    for (const flock of context.flocks) {
      const traits = await traitsOf(context, flock);
      for (const { lines, values, variances } of traits) {
        await insertRows(context.book, varianceTable, variances);
        await insertRows(context.book, breedingValueTable, values);
        await insertRows(context.book, lineTable, lines);
      }
    }
  },
};

/** What the models of both traits say of a flock. */
const traitsOf = onceAFlock(async (context, flock): Promise<readonly TraitRows[]> => {
  const herd = await readHerdPedigree(context.book, flock.id);
  const pens = await pensOfLines(context, flock.id);
  return Promise.all([growthTrait(context, flock, herd, pens), lamenessTrait(context, flock.id, herd, pens)]);
});

type PensOfLines = ReadonlyMap<string, number>;

async function growthTrait(
  context: FindingContext,
  flock: Flock,
  herd: HerdPedigree,
  pens: PensOfLines,
): Promise<TraitRows> {
  const { model, rows } = await growthOf(context, flock);
  if ("trouble" in model) return untold(silentLines(flock.id, "growth", herd, code("not_converged")));
  const records = new Int32Array(herd.tags.length);
  for (const animal of rows.spans.animal) records[herd.place.get(rows.animals[animal]!)!]!++;
  const input = growthRecords(knownGrowth(model), herd);
  const { seed, crew } = context;
  return crew.run(growthLinesJob, { flock: flock.id, herd, input, records, pens, seed });
}

async function lamenessTrait(
  { book, crew, seed }: FindingContext,
  flock: string,
  herd: HerdPedigree,
  pens: PensOfLines,
): Promise<TraitRows> {
  const read = await readLamenessRecords(book, flock, herd);
  const silent = (why: string): TraitRows => untold(silentLines(flock, "lameness", herd, why));
  if (read === null) return silent(code("too_few_scores", 0, LEAST_SCORED));
  const lacking = (scored: number, lame: number): string | null => {
    if (read.scoredAnimals < scored) return code("too_few_animals", read.scoredAnimals, scored);
    return read.everLame < lame ? code("too_few_events", read.everLame, lame) : null;
  };
  const why = lacking(LEAST_SCORED_OF_LINES, LEAST_EVER_LAME_OF_LINES);
  if (why !== null) return silent(why);
  const valuesSilent = lacking(LEAST_SCORED, LEAST_EVER_LAME);
  const { input, scores: records } = read;
  return crew.run(lamenessLinesJob, { flock, herd, input, records, pens, seed, valuesSilent });
}

function untold(lines: TraitRows["lines"]): TraitRows {
  return { lines, values: [], variances: [] };
}

/** In how many pens each line was seen. */
async function pensOfLines({ book }: FindingContext, flock: string): Promise<ReadonlyMap<string, number>> {
  const rows = await book.rows<{ line: string; pens: number }>(
    `SELECT line, CAST(count(DISTINCT pen) AS INTEGER) AS pens FROM exposure.animal_day
     WHERE flock = ${quoteText(flock)} AND pen IS NOT NULL GROUP BY line`,
  );
  return new Map(rows.map(({ line, pens }) => [line, pens]));
}
