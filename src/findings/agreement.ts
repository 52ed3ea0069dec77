import { code } from "../records/codes.ts";
import { type GaitScaleId, gaitScales } from "../records/gait-scales.ts";
import { defineTable, flag, integer, number, type RowOf, text } from "../records/table.ts";
import { cohenKappa, ratingTable } from "../statistics/agreement/kappa.ts";
import { type Finding, insertRows } from "./finding.ts";

const agreementTable = defineTable({
  schema: "results",
  name: "agreement",
  grain: ["flock", "scorer_a", "scorer_b", "gait_scale"],
  columns: {
    flock: text.always("flock"),
    scorer_a: text.always("scorer"),
    scorer_b: text.always("another who scored the same animals on the same days"),
    gait_scale: text.always("scale of the scores; scales are never mixed"),
    pairs: integer.always("scores given by both"),
    kappa: number("agreement beyond chance: 1 is perfect, 0 is chance"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    weighted: flag.always("whether disagreement counts by its squared distance on the scale"),
    same_score: number("share of pairs with the same score"),
    caution: text("codes"),
  },
  reads: ["herd.gait"],
  identities: [
    { says: "kappa lies on its scale", holds: "kappa IS NULL OR kappa BETWEEN -1 AND 1" },
    { says: "limits lie around kappa", holds: "lo IS NULL OR (lo <= kappa AND kappa <= hi)" },
  ],
});

export type AgreementRow = RowOf<typeof agreementTable>;

/** Pairs from which agreement is given. Project default. */
const LEAST_PAIRS = 20;

interface ScoredTwice {
  readonly flock: string;
  readonly scorer_a: string;
  readonly scorer_b: string;
  readonly gait_scale: GaitScaleId;
  readonly a: number;
  readonly b: number;
}

/** How well two scorers of the same animals on the same days agree: quadratically weighted kappa. */
export const agreement: Finding = {
  tables: [agreementTable],
  async fill({ book }) {
    const scores = await book.rows<ScoredTwice>(`
      WITH score AS (
        SELECT flock, animal, "date" AS day, coalesce(foot, '') AS foot, gait_scale, scorer, CAST(max(gait) AS DOUBLE) AS gait
        FROM herd.gait WHERE scorer IS NOT NULL AND gait IS NOT NULL GROUP BY ALL
      )
      SELECT a.flock, a.scorer AS scorer_a, b.scorer AS scorer_b, a.gait_scale, a.gait AS a, b.gait AS b
      FROM score a JOIN score b ON b.flock = a.flock AND b.animal = a.animal AND b.day = a.day AND b.foot = a.foot
        AND b.gait_scale = a.gait_scale AND a.scorer < b.scorer
      ORDER BY ALL`);
    const pairs = new Map<string, ScoredTwice[]>();
    for (const score of scores) {
      const key = JSON.stringify([score.flock, score.scorer_a, score.scorer_b, score.gait_scale]);
      const own = pairs.get(key);
      if (own) own.push(score);
      else pairs.set(key, [score]);
    }
    await insertRows(book, agreementTable, [...pairs.values()].map(agreementOf));
  },
};

function agreementOf(scores: readonly ScoredTwice[]): AgreementRow {
  const { flock, scorer_a, scorer_b, gait_scale } = scores[0]!;
  const { least, most } = gaitScales[gait_scale];
  const base = { flock, scorer_a, scorer_b, gait_scale, pairs: scores.length, weighted: true };
  if (scores.length < LEAST_PAIRS) {
    const caution = code("too_few_scores", scores.length, LEAST_PAIRS);
    return { ...base, kappa: null, lo: null, hi: null, same_score: null, caution };
  }
  // Half scores, where a scorer gives them, are classes of their own.
  const step = scores.every(({ a, b }) => Number.isInteger(a) && Number.isInteger(b)) ? 1 : 0.5;
  const place = (score: number): number => Math.round((score - least) / step);
  const table = ratingTable(
    scores.map(({ a }) => place(a)),
    scores.map(({ b }) => place(b)),
    Math.round((most - least) / step) + 1,
  );
  const kappa = cohenKappa(table, "quadratic");
  const same_score = scores.filter(({ a, b }) => a === b).length / scores.length;
  if ("trouble" in kappa) {
    return { ...base, kappa: null, lo: null, hi: null, same_score, caution: code("all_scored_alike") };
  }
  return { ...base, kappa: kappa.estimate, lo: kappa.lo, hi: kappa.hi, same_score, caution: null };
}
