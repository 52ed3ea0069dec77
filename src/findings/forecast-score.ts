import { code } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import { clusteredProportion } from "../statistics/proportions/clustered-proportion.ts";
import { type Finding, insertRows } from "./finding.ts";
import { growthOf } from "./growth-figures.ts";
import { type PastForecast, pastForecasts } from "./past-forecasts.ts";

export const forecastScoreTable = defineTable({
  schema: "results",
  name: "forecast_score",
  grain: ["flock", "tenth"],
  columns: {
    flock: text.always("flock"),
    tenth: integer.always("tenth of the forecast chance, 1 (0-10 %) to 10 (90-100 %); 0: all forecasts"),
    forecasts: integer.always("forecasts of a next look, made from the records before it alone"),
    animals: integer.always("animals forecast"),
    mean_forecast: number("mean chance that a claw reads past the retrim limit"),
    seen: number("share of these looks at which one did"),
    lo: number("lower 95 % limit of the share, over animals"),
    hi: number("upper 95 % limit"),
    brier: number("mean squared difference of chance and outcome: 0 is perfect"),
    brier_of_eight_week_rule: number(
      "the same of saying 'past' from 56 days after a trim on, and not before",
    ),
    brier_difference: number("score less the rule's: below zero the forecast is better"),
    difference_lo: number("lower 95 % limit over animals, paired"),
    difference_hi: number("upper 95 % limit"),
    caution: text("codes"),
  },
  reads: [
    "results.growth_interval",
    "results.measurement_error",
    "results.variance",
    "exposure.animal_day",
    "herd.claw_record",
  ],
  identities: [
    { says: "a share is one", holds: "seen IS NULL OR seen BETWEEN 0 AND 1" },
    { says: "a score is one", holds: "brier IS NULL OR brier BETWEEN 0 AND 1" },
  ],
});

export type ForecastScoreRow = RowOf<typeof forecastScoreTable>;

/** Forecasts from which a tenth, and the whole, is scored. Project defaults. */
const LEAST_OF_TENTH = 10;
const LEAST_FORECASTS = 30;
const LEAST_ANIMALS = 8;
const RULE_DAYS = 56;

/** How well forecasts of the next look would have done on the flock's own past, beside looking every eight weeks. */
export const forecastScore: Finding = {
  tables: [forecastScoreTable],
  async fill(context) {
    for (const flock of context.flocks) {
      const { rows, model } = await growthOf(context, flock);
      if ("trouble" in model) continue;
      const forecasts = await pastForecasts(context, flock.id, flock.settings.retrim_at_mm, rows, model);
      if (forecasts.length === 0) continue;
      const tenths = Array.from({ length: 10 }, (_, k) =>
        forecasts.filter(({ chance }) => Math.min(9, Math.floor(10 * chance)) === k),
      );
      await insertRows(context.book, forecastScoreTable, [
        scoreOf(flock.id, 0, forecasts),
        ...tenths.flatMap((own, k) => (own.length === 0 ? [] : [scoreOf(flock.id, k + 1, own)])),
      ]);
    }
  },
};

/** Scores some forecasts of one flock: all of them (tenth 0), or those of one tenth of the chance. */
export function scoreOf(flock: string, tenth: number, forecasts: readonly PastForecast[]): ForecastScoreRow {
  const animals = [...new Set(forecasts.map(({ animal }) => animal))];
  const counts = { flock, tenth, forecasts: forecasts.length, animals: animals.length };
  const needed = tenth === 0 ? LEAST_FORECASTS : LEAST_OF_TENTH;
  const few =
    forecasts.length < needed
      ? code("too_few_forecasts", forecasts.length, needed)
      : tenth === 0 && animals.length < LEAST_ANIMALS
        ? code("too_few_animals", animals.length, LEAST_ANIMALS)
        : null;
  const mean = (of: (one: PastForecast) => number): number =>
    forecasts.reduce((sum, one) => sum + of(one), 0) / forecasts.length;
  if (few !== null) {
    return {
      ...counts,
      mean_forecast: null,
      seen: null,
      lo: null,
      hi: null,
      brier: null,
      brier_of_eight_week_rule: null,
      brier_difference: null,
      difference_lo: null,
      difference_hi: null,
      caution: few,
    };
  }
  const share = clusteredProportion(
    animals.map((animal) => {
      const own = forecasts.filter((one) => one.animal === animal);
      return { successes: own.filter(({ seen }) => seen).length, trials: own.length };
    }),
  );
  const difference = pairedDifference(forecasts);
  return {
    ...counts,
    mean_forecast: mean(({ chance }) => chance),
    seen: mean(({ seen }) => Number(seen)),
    lo: share?.lo ?? null,
    hi: share?.hi ?? null,
    brier: mean(squaredError),
    brier_of_eight_week_rule: mean(ruleError),
    brier_difference: difference.mean,
    difference_lo: difference.lo,
    difference_hi: difference.hi,
    caution: null,
  };
}

const squaredError = ({ chance, seen }: PastForecast): number => (chance - Number(seen)) ** 2;
const ruleError = ({ daysSinceTrim, seen }: PastForecast): number =>
  daysSinceTrim >= RULE_DAYS === seen ? 0 : 1;

/** Mean difference of the two scores with limits over animals: a ratio over clusters (Cochran 1977, chapter 6). */
function pairedDifference(forecasts: readonly PastForecast[]): {
  mean: number;
  lo: number | null;
  hi: number | null;
} {
  const sums = new Map<string, { sum: number; count: number }>();
  for (const one of forecasts) {
    const own = sums.get(one.animal) ?? { sum: 0, count: 0 };
    sums.set(one.animal, own);
    own.sum += squaredError(one) - ruleError(one);
    own.count++;
  }
  const mean = [...sums.values()].reduce((total, { sum }) => total + sum, 0) / forecasts.length;
  const animals = sums.size;
  if (animals < 2) return { mean, lo: null, hi: null };
  const squares = [...sums.values()].reduce((total, { sum, count }) => total + (sum - mean * count) ** 2, 0);
  const error = Math.sqrt(((animals / (animals - 1)) * squares) / forecasts.length ** 2);
  const half = tUpperQuantile(0.025, animals - 1) * error;
  return { mean, lo: mean - half, hi: mean + half };
}
