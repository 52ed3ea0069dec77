import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import type { SumsAverage } from "../statistics/linear-mixed-model/average-sums.ts";
import { thinned } from "../statistics/linear-mixed-model/variance-points.ts";
import { type GrowthTermId, growthTerms } from "./growth-design.ts";

export const growthPointTable = defineTable({
  schema: "results",
  name: "growth_point",
  grain: ["flock", "point", "component"],
  columns: {
    flock: text.always("flock"),
    point: integer.always("a point of the growth model's variances that the records allow, from 1"),
    weight: number.always("its share of all points"),
    component: text.always("random term of the growth model"),
    relative_sd: number.always("the term's standard deviation over the residual's"),
  },
  reads: ["results.growth_interval", "exposure.animal_stretch"],
  identities: [{ says: "a deviation is not negative", holds: "relative_sd >= 0 AND weight > 0" }],
});

export type GrowthPointRow = RowOf<typeof growthPointTable>;

/** A point of the variances: each term's standard deviation over the residual's. */
export interface GrowthPoint {
  readonly weight: number;
  readonly deviations: Readonly<Partial<Record<GrowthTermId, number>>>;
}

/** Points that forecasts average over. Project default: more change no chance by a percent. */
const KEPT_POINTS = 12;

/** Few points of equal weight that stand for all draws (systematic resampling). */
export function keptPoints(
  flock: string,
  terms: readonly GrowthTermId[],
  { thetas, weights }: SumsAverage,
): GrowthPointRow[] {
  return thinned(weights, KEPT_POINTS).flatMap(({ place, weight }) =>
    terms.map((component, k) => ({
      flock,
      point: place + 1,
      weight,
      component,
      relative_sd: thetas[place]![k]!,
    })),
  );
}

/** The points kept of a flock's growth model, with the terms that the model holds; no points where it has no fit. */
export async function readGrowthPoints(
  book: Book,
  flock: string,
): Promise<{ readonly terms: readonly GrowthTermId[]; readonly points: readonly GrowthPoint[] }> {
  const rows = await book.rows<Omit<GrowthPointRow, "component"> & { component: GrowthTermId }>(
    `SELECT * FROM results.growth_point WHERE flock = ${quoteText(flock)} ORDER BY point, component`,
  );
  const points = new Map<number, { weight: number; deviations: Partial<Record<GrowthTermId, number>> }>();
  for (const { point, weight, component, relative_sd } of rows) {
    const own = points.get(point) ?? { weight, deviations: {} };
    points.set(point, own);
    own.deviations[component] = relative_sd;
  }
  const held = new Set(rows.map(({ component }) => component));
  return { terms: growthTerms.filter((id) => held.has(id)), points: [...points.values()] };
}
