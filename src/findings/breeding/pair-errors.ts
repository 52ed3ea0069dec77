import { type Book, quoteText } from "../../book/book.ts";
import { animalModel } from "../../statistics/pedigree/animal-model.ts";
import { solvedAt } from "../../statistics/pedigree/breeding-values.ts";
import type { GeneticDesign } from "../../statistics/pedigree/genetic-frame.ts";
import { logisticAnimalModel } from "../../statistics/pedigree/logistic-animal-model.ts";
import { laplaceAt } from "../../statistics/pedigree/logistic-laplace.ts";
import { type MidParentErrors, midParentErrors } from "../../statistics/pedigree/mid-parent.ts";
import { type GrowthTermId, growthDesign } from "../growth-design.ts";
import { independentColumns } from "../growth-model.ts";
import { readGrowthRows } from "../growth-rows.ts";
import { readTable } from "../read-table.ts";
import { varianceTable } from "../variance.ts";
import { componentOf } from "./genetic-variances.ts";
import { growthRecords } from "./growth-records.ts";
import type { HerdPedigree } from "./herd-pedigree.ts";
import { readLamenessRecords } from "./lameness-records.ts";

type Variances = ReadonlyMap<string, number>;

/**
 * How the prediction errors of two animals go together, from the genetic model's equations laid out anew at the
 * variances that the analysis stored. Null where the analysis fitted no such model or found no genetic variance.
 */
export async function pairErrors(
  book: Book,
  flock: string,
  herd: HerdPedigree,
  trait: "growth" | "lameness",
  pair: readonly [number, number],
): Promise<MidParentErrors | null> {
  const stored = await readTable(
    book,
    varianceTable,
    `flock = ${quoteText(flock)} AND trait = ${quoteText(trait)}`,
  );
  const of = (model: string): Variances =>
    new Map(
      stored.filter((row) => row.model === model).map(({ component, variance }) => [component, variance]),
    );
  const genetic = of("breeding");
  if (!((genetic.get("additive") ?? 0) > 0)) return null;
  const errors = await (trait === "growth"
    ? growthErrors(book, flock, herd, of("growth"), genetic, pair)
    : lamenessErrors(book, flock, herd, genetic, pair));
  return errors ?? null;
}

async function growthErrors(
  book: Book,
  flock: string,
  herd: HerdPedigree,
  growth: Variances,
  genetic: Variances,
  pair: readonly [number, number],
): Promise<MidParentErrors | undefined> {
  const design = growthDesign(await readGrowthRows(book, flock));
  const fixed = independentColumns(design);
  const input = growthRecords(
    {
      design,
      fixed,
      // errors of prediction do not depend on what was measured, so that no effect need be taken off it
      fixedEffects: new Float64Array(fixed.length),
      variances: growth as ReadonlyMap<GrowthTermId | "residual", number>,
    },
    herd,
  );
  const model = animalModel(input);
  if ("verdict" in model) return undefined;
  const { solution, residual } = solvedAt(model, variancesOf(model.names, genetic));
  return midParentErrors(model, solution, residual, partsOf(genetic), recordedIn(input, herd), pair);
}

async function lamenessErrors(
  book: Book,
  flock: string,
  herd: HerdPedigree,
  genetic: Variances,
  pair: readonly [number, number],
): Promise<MidParentErrors | undefined> {
  const read = await readLamenessRecords(book, flock, herd);
  const model = read === null ? null : logisticAnimalModel(read.input);
  if (read === null || model === null || "verdict" in model) return undefined;
  const point = laplaceAt(model.data, variancesOf(model.names, genetic).map(Math.sqrt));
  if (point === undefined) return undefined;
  return midParentErrors(model, point, 1, partsOf(genetic), recordedIn(read.input, herd), pair);
}

function variancesOf(names: readonly string[], genetic: Variances): Float64Array {
  return Float64Array.from(names, (name) => genetic.get(componentOf(name)) ?? 0);
}

function partsOf(genetic: Variances): { readonly additive: number; readonly group: number } {
  return { additive: genetic.get("additive")!, group: genetic.get("line") ?? 0 };
}

/** Animals of the flock with records. */
function recordedIn({ animal }: GeneticDesign, herd: HerdPedigree): readonly number[] {
  return [...new Set(animal.column)].filter((i) => i < herd.own).sort((a, b) => a - b);
}
