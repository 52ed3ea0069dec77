import { type Book, quoteText } from "../book/book.ts";
import { code } from "../records/codes.ts";
import {
  fitGeneralizedMixedModel,
  type GeneralizedMixedFit,
} from "../statistics/generalized-mixed-model/generalized-mixed-model.ts";
import type { RandomTerm } from "../statistics/mixed-model-terms.ts";
import type { Unfit } from "../statistics/verdict.ts";
import type { ModelFitRow } from "./model-fit.ts";
import type { VarianceRow } from "./variance.ts";

/** Random terms of the lameness panel. */
const lamenessTerms = ["animal", "pen", "pen_month", "month"] as const;
type LamenessTermId = (typeof lamenessTerms)[number];

/** Levels from which a term can have a variance of its own. */
const LEAST_LEVELS = 3;
/** Dropped in this order while the variances cannot be told apart. */
const DROPPED_FIRST: readonly LamenessTermId[] = ["pen_month", "month", "pen"];

/** Where the odds of a lame score vary: rows for `variance` and `model_fit`, under the model's name `lameness`. */
export interface LamenessVariances {
  readonly variances: readonly VarianceRow[];
  readonly fits: readonly ModelFitRow[];
}

/**
 * Fits a flock's lame scores, those for cause apart, on their commonest scale: a mean on the log odds, with animal, pen,
 * pen-by-month and month at random, by Laplace's approximation. null without any score.
 */
export async function lamenessVariances(book: Book, flock: string): Promise<LamenessVariances | null> {
  const id = quoteText(flock);
  const counts = await book.rows<{
    animal: string;
    pen: string;
    month: number;
    trials: number;
    lame: number;
  }>(`
    WITH main AS (SELECT gait_scale FROM exposure.gait_day WHERE flock = ${id} GROUP BY ALL ORDER BY count(*) DESC, gait_scale LIMIT 1)
    SELECT animal, pen, day_no(date_trunc('month', day)) AS month, CAST(count(*) AS INTEGER) AS trials,
      CAST(count(*) FILTER (lame) AS INTEGER) AS lame
    FROM exposure.gait_day JOIN main USING (gait_scale)
    WHERE flock = ${id} AND NOT for_cause AND pen IS NOT NULL GROUP BY ALL ORDER BY ALL`);
  if (counts.length === 0) return null;
  const levels: Readonly<Record<LamenessTermId, RandomTerm>> = {
    animal: term("animal", counts, ({ animal }) => animal),
    pen: term("pen", counts, ({ pen }) => pen),
    pen_month: term("pen_month", counts, ({ pen, month }) => `${pen}\n${month}`),
    month: term("month", counts, ({ month }) => String(month)),
  };
  const whole: ModelFitRow = {
    flock,
    model: "lameness",
    term: "fit",
    level: "",
    estimate: null,
    se: null,
    df: null,
    verdict: "failed",
    rows: counts.reduce((sum, { trials }) => sum + trials, 0),
    animals: levels.animal.levels,
    pens: levels.pen.levels,
  };
  const { fit, terms, untold } = fitWhatCanBeTold(counts, levels);
  if ("trouble" in fit) {
    return { variances: [], fits: [{ ...whole, level: fit.trouble, verdict: fit.verdict }] };
  }
  return {
    variances: terms.map((component, k): VarianceRow => {
      const sd = fit.theta[k]!;
      const at = fit.coefficients.length + k;
      const spread = Math.sqrt(fit.jointCovariance.values[at * (fit.jointCovariance.columns + 1)]!);
      return {
        flock,
        trait: "lameness",
        model: "lameness",
        component,
        variance: sd * sd,
        // by the first-order rule for a square; at the bound of zero nothing is told
        se: sd > 0 && spread > 0 ? 2 * sd * spread : null,
        share: null,
        share_lo: null,
        share_hi: null,
        caution: sd > 0 ? null : code("found_alike"),
      };
    }),
    fits: [
      { ...whole, estimate: fit.logLikelihood, verdict: fit.verdict },
      {
        ...whole,
        term: "mean",
        estimate: fit.coefficients[0]!,
        se: fit.standardErrors[0]!,
        verdict: fit.verdict,
      },
      ...terms.map(
        (level, k): ModelFitRow => ({
          ...whole,
          term: "random",
          level,
          estimate: fit.theta[k]!,
          verdict: fit.theta[k]! > 0 ? "converged" : "singular",
        }),
      ),
      ...untold.map((level): ModelFitRow => ({ ...whole, term: "random", level, verdict: "untold" })),
    ],
  };
}

interface Told {
  readonly fit: GeneralizedMixedFit | Unfit;
  readonly terms: readonly LamenessTermId[];
  readonly untold: readonly LamenessTermId[];
}

function fitWhatCanBeTold(
  counts: readonly { readonly trials: number; readonly lame: number }[],
  levels: Readonly<Record<LamenessTermId, RandomTerm>>,
): Told {
  let terms = lamenessTerms.filter((id) => levels[id].levels >= LEAST_LEVELS);
  if (
    terms.includes("pen_month") &&
    levels.pen_month.levels <= Math.max(levels.pen.levels, levels.month.levels)
  ) {
    terms = terms.filter((id) => id !== "pen_month");
  }
  const untold = lamenessTerms.filter((id) => !terms.includes(id));
  for (;;) {
    const fit = fitGeneralizedMixedModel({
      family: { distribution: "binomial", link: "logit" },
      outcome: Float64Array.from(counts, ({ lame }) => lame),
      trials: Float64Array.from(counts, ({ trials }) => trials),
      fixed: { names: ["mean"], columns: [new Float64Array(counts.length).fill(1)] },
      random: terms.map((id) => levels[id]),
    });
    if (!("trouble" in fit)) return { fit, terms, untold };
    const untellable = fit.trouble === "not_identified" || fit.trouble === "too_few_groups";
    const next = untellable ? DROPPED_FIRST.find((id) => terms.includes(id)) : undefined;
    if (next === undefined) return { fit, terms, untold };
    untold.push(next);
    terms = terms.filter((id) => id !== next);
  }
}

function term<Count>(name: string, counts: readonly Count[], of: (count: Count) => string): RandomTerm {
  const places = new Map<string, number>();
  const membership = Int32Array.from(counts, (count) => {
    const key = of(count);
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, places.size);
    return places.size - 1;
  });
  return { name, levels: places.size, membership };
}
