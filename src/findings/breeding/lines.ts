import { quoteText } from "../../book/book.ts";
import { type CautionCode, code, joinCodes } from "../../records/codes.ts";
import type { Flock } from "../../records/flock.ts";
import { animalModel } from "../../statistics/pedigree/animal-model.ts";
import { averageOverVariances } from "../../statistics/pedigree/average-over-variances.ts";
import {
  averagedBreedingValues,
  averagedCombinations,
} from "../../statistics/pedigree/averaged-breeding-values.ts";
import { linesAgainstOthers } from "../../statistics/pedigree/breeding-combinations.ts";
import { fitAnimalModel } from "../../statistics/pedigree/fit-animal-model.ts";
import { fitLogisticAnimalModel } from "../../statistics/pedigree/fit-logistic-animal-model.ts";
import type { GeneticFrame } from "../../statistics/pedigree/genetic-frame.ts";
import { liabilityBootstrap } from "../../statistics/pedigree/liability-bootstrap.ts";
import { averageOverLiabilityVariances } from "../../statistics/pedigree/liability-values.ts";
import { additiveVarianceShows, unbiasedVariances } from "../../statistics/pedigree/liability-variance.ts";
import { logisticAnimalModel } from "../../statistics/pedigree/logistic-animal-model.ts";
import type { VarianceAverage } from "../../statistics/pedigree/variance-average.ts";
import { type Finding, type FindingContext, insertRows } from "../finding.ts";
import { growthOf } from "../growth-figures.ts";
import { varianceTable } from "../variance.ts";
import { type BreedingValueRow, breedingValueTable, type LineRow, lineTable } from "./breeding-tables.ts";
import { geneticVariances } from "./genetic-variances.ts";
import { growthRecords } from "./growth-records.ts";
import { type HerdPedigree, readHerdPedigree } from "./herd-pedigree.ts";
import { readLamenessRecords } from "./lameness-records.ts";

/** Animals of a line with records, under which nothing is claimed of it. */
const LEAST_OF_LINE = 8;
/** Scored animals, and those of them ever lame, from which breeding values of lameness are asked. */
const LEAST_SCORED = 100;
const LEAST_EVER_LAME = 30;
/** Reliability below which no value of lameness is worth printing, when none reaches it. */
const LEAST_RELIABILITY = 0.2;
const BOOTSTRAP_SAMPLES = 15;

/** A trait's model with the uncertainty of its variances, ready to be asked for values and lines. */
interface Trait {
  readonly name: "growth" | "lameness";
  readonly frame: GeneticFrame;
  readonly average: VarianceAverage;
  /** Own records of each animal of the pedigree. */
  readonly records: Int32Array;
  readonly heritable: boolean;
}

/** Breeding values and lines, for growth and for lameness, from one genetic model each. */
export const lines: Finding = {
  tables: [lineTable, breedingValueTable],
  async fill(context) {
    for (const flock of context.flocks) {
      const herd = await readHerdPedigree(context.book, flock.id);
      const pens = await pensOfLines(context, flock.id);
      for (const trait of [
        await growthTrait(context, flock, herd),
        await lamenessTrait(context, flock.id, herd),
      ]) {
        if ("caution" in trait) {
          await insertRows(context.book, lineTable, silentLines(flock.id, trait.name, herd, trait.caution));
          continue;
        }
        await insertRows(context.book, breedingValueTable, valueRows(flock.id, trait, herd));
        await insertRows(context.book, lineTable, lineRows(flock.id, trait, herd, pens));
      }
    }
  },
};

interface Silent {
  readonly name: Trait["name"];
  readonly caution: string;
}

async function growthTrait(
  context: FindingContext,
  flock: Flock,
  herd: HerdPedigree,
): Promise<Trait | Silent> {
  const silent = (caution: CautionCode): Silent => ({ name: "growth", caution: code(caution) });
  const { model: growth, rows } = await growthOf(context, flock);
  if ("trouble" in growth) return silent("not_converged");
  const model = animalModel(growthRecords(growth, herd));
  if ("trouble" in model) return silent("not_converged");
  const fit = fitAnimalModel(model);
  if ("trouble" in fit) return silent("not_converged");
  const average = averageOverVariances(model, fit.variances, { seed: context.seed });
  if (average === undefined) return silent("not_converged");
  await insertRows(context.book, varianceTable, geneticVariances(flock.id, model, fit, average));
  const records = new Int32Array(herd.tags.length);
  for (const animal of rows.spans.animal) records[herd.place.get(rows.animals[animal]!)!]!++;
  return { name: "growth", frame: model, average, records, heritable: fit.variances[0]! > 0 };
}

async function lamenessTrait(
  context: FindingContext,
  flock: string,
  herd: HerdPedigree,
): Promise<Trait | Silent> {
  const silent = (caution: string): Silent => ({ name: "lameness", caution });
  const read = await readLamenessRecords(context.book, flock, herd);
  if (read === null) return silent(code("too_few_scores", 0, LEAST_SCORED));
  if (read.scoredAnimals < LEAST_SCORED)
    return silent(code("too_few_animals", read.scoredAnimals, LEAST_SCORED));
  if (read.everLame < LEAST_EVER_LAME) return silent(code("too_few_events", read.everLame, LEAST_EVER_LAME));
  const model = logisticAnimalModel(read.input);
  if ("trouble" in model) return silent(code("not_converged"));
  const fit = fitLogisticAnimalModel(model);
  if ("trouble" in fit) return silent(code("not_converged"));
  const bootstrap = liabilityBootstrap(model, fit, { seed: context.seed, samples: BOOTSTRAP_SAMPLES });
  const average = averageOverLiabilityVariances(model, fit, unbiasedVariances(fit, bootstrap), {
    seed: context.seed,
  });
  return {
    name: "lameness",
    frame: model,
    average,
    records: read.scores,
    // reliability is printed only where the interval of the variance lies above zero
    heritable: additiveVarianceShows(model, fit, bootstrap),
  };
}

function valueRows(flock: string, trait: Trait, herd: HerdPedigree): readonly BreedingValueRow[] {
  const base = recorded(trait, herd);
  if (base.length === 0) return [];
  const { value, errorVariance, reliability, probabilityAbove } = averagedBreedingValues(
    trait.frame,
    trait.average,
    base,
  );
  const reached = base.some((i) => reliability[i]! >= LEAST_RELIABILITY);
  const told = trait.name === "growth" || (reached && trait.heritable);
  return herd.tags.map((animal, i) => ({
    flock,
    trait: trait.name,
    animal,
    line: herd.lineOf[i]! < 0 ? null : herd.lines[herd.lineOf[i]!]!,
    sire: herd.sire[i]!,
    dam: herd.dam[i]!,
    inbreeding: herd.kin.coefficient[i]!,
    value: told ? value[i]! : null,
    se: told ? Math.sqrt(errorVariance[i]!) : null,
    reliability: told && trait.heritable ? reliability[i]! : null,
    p_worse_than_flock: told ? probabilityAbove[i]! : null,
    records: trait.records[i]!,
    caution: joinCodes([
      told ? null : code("reliability_too_low", LEAST_RELIABILITY),
      told && !trait.heritable ? code("not_heritable_here") : null,
    ]),
  }));
}

function lineRows(
  flock: string,
  trait: Trait,
  herd: HerdPedigree,
  pens: ReadonlyMap<string, number>,
): readonly LineRow[] {
  const members = herd.lines.map((_, line) => recorded(trait, herd).filter((i) => herd.lineOf[i] === line));
  const kept = herd.lines.map((_, line) => line).filter((line) => members[line]!.length > 0);
  if (kept.length < 2) return silentLines(flock, trait.name, herd, code("too_few_lines", kept.length, 2));
  const base = recorded(trait, herd);
  const means = kept.map((line) => {
    const own = members[line]!;
    const weights = new Map<number, number>();
    for (const i of base) weights.set(i, -1 / base.length);
    for (const i of own) weights.set(i, (weights.get(i) ?? 0) + 1 / own.length);
    return { animals: [...weights.keys()], weights: [...weights.values()] };
  });
  const against = linesAgainstOthers(kept.map((line) => members[line]!));
  const figures = averagedCombinations(trait.frame, trait.average, [...means, ...against]);
  return kept.map((line, k) => {
    const name = herd.lines[line]!;
    const own = members[line]!;
    const mean = figures[k]!;
    const difference = figures[kept.length + k]!;
    const narrow = own.length < LEAST_OF_LINE;
    const records = own.reduce((sum, i) => sum + trait.records[i]!, 0);
    return {
      flock,
      trait: trait.name,
      season: "all",
      line: name,
      inferred: own.every((i) => herd.inferred[i]),
      animals: own.length,
      mean: mean.estimate,
      lo: mean.lo,
      hi: mean.hi,
      difference: difference.estimate,
      diff_lo: difference.lo,
      diff_hi: difference.hi,
      p_worse_than_flock: narrow ? null : difference.probabilityAbove,
      // the error of a mean falls with the square root of its records: half the interval wants three times as many more
      records_needed: 3 * records,
      caution: joinCodes([
        narrow ? code("line_too_narrow", own.length) : null,
        pens.get(name) === 1 ? code("not_separable_from_pen") : null,
        own.some((i) => herd.inferred[i]) ? code("line_inferred") : null,
        herd.lines.length < 4 ? code("line_variance_assumed", herd.lines.length) : null,
      ]),
    };
  });
}

/** Animals of the flock with records of the trait. */
function recorded(trait: Trait, herd: HerdPedigree): readonly number[] {
  return Array.from({ length: herd.own }, (_, i) => i).filter((i) => trait.records[i]! > 0);
}

function silentLines(
  flock: string,
  trait: Trait["name"],
  herd: HerdPedigree,
  caution: string,
): readonly LineRow[] {
  return herd.lines.map((line, k) => ({
    flock,
    trait,
    season: "all",
    line,
    inferred: false,
    animals: herd.lineOf.filter((own, i) => own === k && i < herd.own).length,
    mean: null,
    lo: null,
    hi: null,
    difference: null,
    diff_lo: null,
    diff_hi: null,
    p_worse_than_flock: null,
    records_needed: null,
    caution,
  }));
}

/** In how many pens each line was seen. */
async function pensOfLines({ book }: FindingContext, flock: string): Promise<ReadonlyMap<string, number>> {
  const rows = await book.rows<{ line: string; pens: number }>(
    `SELECT line, CAST(count(DISTINCT pen) AS INTEGER) AS pens FROM exposure.animal_day
     WHERE flock = ${quoteText(flock)} AND pen IS NOT NULL GROUP BY line`,
  );
  return new Map(rows.map(({ line, pens }) => [line, pens]));
}
