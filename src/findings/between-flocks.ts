import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { chiSquareUpperTail } from "../statistics/distributions/chi-square.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import { zeroMatrix } from "../statistics/linear-algebra/dense-matrix.ts";
import { metaRegression } from "../statistics/meta-regression.ts";

export const betweenFlocksTable = defineTable({
  schema: "results",
  name: "between_flocks",
  grain: ["flock", "season", "measure", "gait_scale"],
  columns: {
    flock: text.always("all: every flock of the book that has the figure"),
    season: text.always("season, or all"),
    measure: text.always("growth, ever_lame, lame_on_a_day"),
    gait_scale: text.always("scale of the scores; empty for growth"),
    flocks: integer.always("flocks with the figure and its limits"),
    p_alike: number(
      "p of the flocks' figures lying no further apart than their own limits let them (Cochran's Q)",
    ),
    typical: number("mean of flocks such as these, each counting once beyond its own error; from 6 flocks"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    sd_between: number("standard deviation between flocks; of shares, on the logit"),
    next_lo: number("lower end of where another such flock's figure lies, 95 times in 100"),
    next_hi: number("upper end"),
    caution: text("codes"),
  },
  reads: ["results.growth_summary", "results.lameness"],
  identities: [
    { says: "limits lie around the mean", holds: "typical IS NULL OR (lo <= typical AND typical <= hi)" },
    {
      says: "another flock's range is no narrower than the mean's",
      holds: "next_lo IS NULL OR (next_lo <= lo AND hi <= next_hi)",
    },
  ],
});

export type BetweenFlocksRow = RowOf<typeof betweenFlocksTable>;

/** A flock's own figure with its 95 % limits. */
export interface FlockFigure {
  readonly value: number;
  readonly lo: number;
  readonly hi: number;
}

/** Flocks from which they stand for others like them; below, they are only themselves. */
const LEAST_FLOCKS = 6;
/** A 95 % limit lies so many standard errors from its figure. */
const REACH = 1.959963984540054;

type Key = Pick<BetweenFlocksRow, "flock" | "season" | "measure" | "gait_scale">;

/**
 * How far flocks lie apart in a figure, and from 6 flocks on what flocks such as these come to: a mean over flocks with
 * a random term for each (Paule & Mandel 1982; Knapp & Hartung 2003), and the range in which one more would lie (Higgins,
 * Thompson & Spiegelhalter 2009, J. R. Stat. Soc. A 172:137-159). Shares are taken on the logit.
 */
export function betweenFlocksRow(
  key: Key,
  figures: readonly FlockFigure[],
  shares: boolean,
): BetweenFlocksRow {
  const there = shares ? logit : same;
  const back = shares ? share : same;
  const known = figures.filter(({ lo, hi }) => !shares || (lo > 0 && hi < 1));
  const estimates = known.map(({ value, lo, hi }) =>
    // a share of nought has no logit; its interval's middle stands for it
    shares && (value === 0 || value === 1) ? (there(lo) + there(hi)) / 2 : there(value),
  );
  const errors = known.map(({ lo, hi }) => (there(hi) - there(lo)) / (2 * REACH));
  const silent = { typical: null, lo: null, hi: null, sd_between: null, next_lo: null, next_hi: null };
  const base = { ...key, flocks: known.length, p_alike: cochransP(estimates, errors) };
  if (known.length < LEAST_FLOCKS) {
    return { ...base, ...silent, caution: joinCodes([code("too_few_flocks", known.length, LEAST_FLOCKS)]) };
  }
  const covariance = zeroMatrix(known.length, known.length);
  errors.forEach((error, i) => {
    covariance.values[i * (known.length + 1)] = error ** 2;
  });
  const mean = metaRegression(estimates, covariance, [estimates.map(() => 1)])!;
  const [centre, error] = [mean.coefficients[0]!, mean.standardErrors[0]!];
  const reach = tUpperQuantile(0.025, mean.df) * error;
  const far = tUpperQuantile(0.025, mean.df) * Math.sqrt(mean.betweenVariance + error ** 2);
  return {
    ...base,
    typical: back(centre),
    lo: back(centre - reach),
    hi: back(centre + reach),
    sd_between: Math.sqrt(mean.betweenVariance),
    next_lo: back(centre - far),
    next_hi: back(centre + far),
    caution: null,
  };
}

/** Cochran's Q (1954, Biometrics 10:101-129) against chi-square with one degree of freedom less than flocks. */
export function cochransP(estimates: readonly number[], errors: readonly number[]): number | null {
  if (estimates.length < 2 || errors.some((error) => !(error > 0))) return null;
  const weights = errors.map((error) => 1 / error ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = estimates.reduce((sum, estimate, i) => sum + (weights[i]! / total) * estimate, 0);
  const q = estimates.reduce((sum, estimate, i) => sum + weights[i]! * (estimate - mean) ** 2, 0);
  return chiSquareUpperTail(q, estimates.length - 1);
}

const same = (x: number): number => x;
const logit = (p: number): number => Math.log(p / (1 - p));
const share = (x: number): number => 1 / (1 + Math.exp(-x));
