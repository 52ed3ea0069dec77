import { code } from "../records/codes.ts";
import type { SumsAverage } from "../statistics/linear-mixed-model/average-sums.ts";
import { type Finding, insertRows } from "./finding.ts";
import type { GrowthTermId } from "./growth-design.ts";
import { type FlockGrowth, growthOf } from "./growth-figures.ts";
import type { GrowthModel } from "./growth-model.ts";
import { growthPointTable, keptPoints } from "./growth-point.ts";
import { type ModelFitRow, modelFitTable } from "./model-fit.ts";
import { type VarianceRow, varianceTable } from "./variance.ts";

/** Terms of growth itself; the others say how a length is read. */
const OF_GROWTH: ReadonlySet<GrowthTermId> = new Set([
  "animal",
  "claw",
  "interval",
  "pen",
  "pen_month",
  "month",
]);

/** Where growth varies, and how the model of it was fitted. */
export const growthVariances: Finding = {
  tables: [varianceTable, modelFitTable, growthPointTable],
  async fill(context) {
    for (const flock of context.flocks) {
      const growth = await growthOf(context, flock);
      const { model, average } = growth;
      if ("trouble" in model) {
        const { trouble } = model;
        await insertRows(context.book, modelFitTable, [
          { ...fitRow(flock.id, growth), level: trouble, verdict: model.verdict },
        ]);
        continue;
      }
      await insertRows(context.book, varianceTable, varianceRows(flock.id, model, average));
      await insertRows(context.book, modelFitTable, fitRows(flock.id, growth, model));
      if (average)
        await insertRows(context.book, growthPointTable, keptPoints(flock.id, model.terms, average));
    }
  },
};

function varianceRows(flock: string, model: GrowthModel, average: SumsAverage | null): VarianceRow[] {
  const { fit, terms } = model;
  const ofGrowth = terms.map((id) => OF_GROWTH.has(id));
  const total = (variances: ArrayLike<number>): number =>
    ofGrowth.reduce((sum, counts, k) => (counts ? sum + variances[k]! : sum), 0);
  const estimates = fit.terms.map(({ covariance }) => covariance.values[0]!);
  // One standard deviation a term: the variance at a draw is θ²σ².
  const drawn = (average?.thetas ?? []).map((theta, i) =>
    Array.from(theta, (one) => one * one * average!.sigmaSquared[i]!),
  );
  const weights = average?.weights ?? new Float64Array(0);
  const rowOf = (
    component: string,
    variance: number,
    draws: readonly number[],
  ): Omit<VarianceRow, "share" | "share_lo" | "share_hi"> => ({
    flock,
    trait: "growth",
    model: "growth",
    component,
    variance,
    se: draws.length === 0 ? null : weightedDeviation(draws, weights),
    caution: null,
  });
  const rows = terms.map((id, k): VarianceRow => {
    const row = rowOf(
      id,
      estimates[k]!,
      drawn.map((one) => one[k]!),
    );
    if (!ofGrowth[k] || !(total(estimates) > 0))
      return { ...row, share: null, share_lo: null, share_hi: null };
    const shares = drawn.map((one) => one[k]! / total(one));
    return {
      ...row,
      share: estimates[k]! / total(estimates),
      share_lo: shares.length === 0 ? null : weightedQuantile(shares, weights, 0.025),
      share_hi: shares.length === 0 ? null : weightedQuantile(shares, weights, 0.975),
    };
  });
  const residual = rowOf("residual", fit.sigmaSquared, [...(average?.sigmaSquared ?? [])]);
  return [
    ...rows,
    {
      ...residual,
      share: null,
      share_lo: null,
      share_hi: null,
      caution: model.floor > 1 ? code("ruler_floor") : null,
    },
  ];
}

function fitRows(flock: string, growth: FlockGrowth, model: GrowthModel): ModelFitRow[] {
  const { fit } = model;
  const whole = fitRow(flock, growth);
  const at = (k: number): number => fit.fixedCovariance.values[k * (fit.fixedCovariance.columns + 1)]!;
  return [
    { ...whole, estimate: fit.logLikelihood, verdict: fit.verdict },
    ...fit.fixedNames.map((name, k): ModelFitRow => {
      const [term, level] = name.split(":");
      return {
        ...whole,
        term: term!,
        level: level ?? "",
        estimate: fit.fixedEffects[k]!,
        se: Math.sqrt(at(k)),
        verdict: fit.verdict,
      };
    }),
    ...fit.terms.map(
      ({ name, covariance, singular }): ModelFitRow => ({
        ...whole,
        term: "random",
        level: name,
        estimate: Math.sqrt(covariance.values[0]!),
        verdict: singular ? "singular" : "converged",
      }),
    ),
    ...model.untold.map((id): ModelFitRow => ({ ...whole, term: "random", level: id, verdict: "untold" })),
    {
      ...whole,
      term: "random",
      level: "residual",
      estimate: Math.sqrt(fit.sigmaSquared),
      verdict: fit.verdict,
    },
  ];
}

function fitRow(flock: string, { rows }: FlockGrowth): ModelFitRow {
  return {
    flock,
    model: "growth",
    term: "fit",
    level: "",
    estimate: null,
    se: null,
    df: null,
    verdict: "failed",
    rows: rows.count,
    animals: rows.animals.length,
    pens: rows.spans.pens.length,
  };
}

function weightedDeviation(values: readonly number[], weights: Float64Array): number {
  const mean = values.reduce((sum, value, i) => sum + weights[i]! * value, 0);
  return Math.sqrt(values.reduce((sum, value, i) => sum + weights[i]! * (value - mean) ** 2, 0));
}

/** Smallest value at or below which the given share of the weight lies. */
function weightedQuantile(values: readonly number[], weights: Float64Array, share: number): number {
  const order = [...values.keys()].sort((a, b) => values[a]! - values[b]!);
  let below = 0;
  for (const i of order) {
    below += weights[i]!;
    if (below >= share) return values[i]!;
  }
  return values[order.at(-1)!]!;
}
