import { denseCholesky, solveDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { FitTrouble, SearchRecord, Verdict } from "../verdict.ts";
import { informationInverse, mappedCovariance, positivePlaces } from "./information-inverse.ts";
import { fixedBlock } from "./mixed-model-equations.ts";
import {
  type EquationsSolution,
  type GaussianModel,
  type Information,
  information,
  restrictedLogLikelihood,
  solveEquations,
} from "./restricted-likelihood.ts";
import { designProduct } from "./sparse-design.ts";
import { mappedVariances, type VarianceMap } from "./variance-map.ts";

export interface VarianceSearch {
  readonly verdict: Verdict;
  /** Why the verdict is `flat` or `failed`. */
  readonly trouble?: FitTrouble;
  readonly parameters: Float64Array;
  /** Variances in the order of the terms, the residual last. */
  readonly variances: Float64Array;
  readonly logLikelihood: number;
  readonly solution: EquationsSolution;
  /** Covariance of the variances (zero rows for those at zero); NaN when flat. */
  readonly covariance: DenseMatrix;
  readonly record: SearchRecord;
}

/** Variances below this share of the residual variance around the fixed effects alone count as zero. */
const FLOOR = 1e-7;
const MOST_STEPS = 200;

/**
 * Variances of greatest restricted likelihood by average information (Gilmour, Thompson & Cullis 1995,
 * Biometrics 51:1440-1450). A step that leaves the region stops at its bound; one that does not climb is
 * replaced by an expectation-maximisation step. A variance is zero when the likelihood falls from zero on.
 */
export function maximizeRestrictedLikelihood(
  model: GaussianModel,
  map: VarianceMap,
  start?: Float64Array,
): VarianceSearch | undefined {
  const spread = fixedOnlyVariance(model);
  if (spread === undefined) return undefined;
  const equalShares = new Float64Array(map.columns).fill(spread / map.rows);
  return new Climb(model, map, spread).run(start ?? equalShares);
}

interface Place {
  readonly parameters: Float64Array;
  readonly variances: Float64Array;
  readonly solution: EquationsSolution;
  readonly logLikelihood: number;
}

interface Slope {
  readonly score: Float64Array;
  readonly average: DenseMatrix;
}

class Climb {
  readonly #model: GaussianModel;
  readonly #map: VarianceMap;
  readonly #spread: number;
  readonly #floor: number;
  /** Parameters that left zero once: they come back to it in small steps only, so that no cycle arises. */
  readonly #released: Uint8Array;
  #evaluations = 0;

  constructor(model: GaussianModel, map: VarianceMap, spread: number) {
    this.#model = model;
    this.#map = map;
    this.#spread = spread;
    this.#floor = FLOOR * spread;
    this.#released = new Uint8Array(map.columns);
  }

  run(start: Float64Array): VarianceSearch | undefined {
    let here = this.#place(start);
    if (here === undefined) return undefined;
    let slope = this.#slope(here);
    for (let step = 0; step < MOST_STEPS; step++) {
      const move = this.#newtonMove(here, slope);
      if (move !== undefined && this.#isSmall(here, slope, move)) {
        const released = this.#release(here);
        if (released === undefined) {
          const last = this.#place(this.#moved(here, move, 1)) ?? here;
          return this.#conclude(start, last, slope, "converged");
        }
        ({ here, slope } = released);
        continue;
      }
      const next = this.#climb(here, slope, move);
      if (next === undefined) return this.#conclude(start, here, slope, "failed");
      const stuck = move === undefined && next.logLikelihood - here.logLikelihood < 1e-9;
      here = next;
      slope = this.#slope(here);
      if (stuck) return this.#conclude(start, here, slope, "flat");
    }
    return this.#conclude(start, here, slope, "failed");
  }

  #place(parameters: Float64Array): Place | undefined {
    const variances = mappedVariances(this.#map, parameters);
    const residual = variances[variances.length - 1];
    if (!(residual > 0)) return undefined;
    const ratios = variances.subarray(0, variances.length - 1).map((v) => Math.sqrt(v / residual));
    this.#evaluations++;
    const solution = solveEquations(this.#model, ratios);
    if (solution === undefined) return undefined;
    const logLikelihood = restrictedLogLikelihood(this.#model, solution, residual);
    return Number.isFinite(logLikelihood) ? { parameters, variances, solution, logLikelihood } : undefined;
  }

  /** Score and average information in the parameters; parameters at zero get a zero row. */
  #slope(at: Place): Slope {
    const residual = at.variances[at.variances.length - 1];
    const { score, average }: Information = information(this.#model, at.solution, residual);
    const { rows, columns, values } = this.#map;
    const mapped = new Float64Array(columns);
    const matrix = zeroMatrix(columns, columns);
    for (let j = 0; j < columns; j++) {
      if (at.parameters[j] === 0) continue;
      for (let i = 0; i < rows; i++)
        if (values[i * columns + j] !== 0) mapped[j] += values[i * columns + j] * score[i];
      for (let k = 0; k < columns; k++) {
        if (at.parameters[k] === 0) continue;
        let sum = 0;
        for (let i = 0; i < rows; i++) {
          for (let l = 0; l < rows; l++) {
            sum += values[i * columns + j] * average.values[i * rows + l] * values[l * columns + k];
          }
        }
        matrix.values[j * columns + k] = sum;
      }
    }
    return { score: mapped, average: matrix };
  }

  /** The Newton step; parameters that it would carry past zero are set to zero and the rest solved again. */
  #newtonMove(at: Place, slope: Slope): Float64Array | undefined {
    const count = at.parameters.length;
    const move = new Float64Array(count);
    const free = Array.from({ length: count }, (_, j) => j).filter((j) => at.parameters[j] > 0);
    const stopped: number[] = [];
    for (;;) {
      const inverse = informationInverse(slope.average, free, this.#spread);
      if (inverse === undefined) return undefined;
      const answer = inverse(
        free.map((j) => {
          let sum = slope.score[j];
          for (const k of stopped) sum -= slope.average.values[j * count + k] * move[k];
          return sum;
        }),
      );
      free.forEach((j, n) => {
        move[j] = answer[n];
      });
      const beyond = free.filter((j) => at.parameters[j] + move[j] < this.#floor);
      if (beyond.length === 0) return move;
      for (const j of beyond) {
        stopped.push(j);
        move[j] = this.#released[j] === 1 ? -0.9 * at.parameters[j] : -at.parameters[j];
        free.splice(free.indexOf(j), 1);
      }
      if (free.length === 0) return move;
    }
  }

  #isSmall(at: Place, slope: Slope, move: Float64Array): boolean {
    let decrement = 0;
    for (let j = 0; j < move.length; j++) {
      if (at.parameters[j] === 0) continue;
      if (Math.abs(move[j]) > 1e-6 * at.parameters[j]) return false;
      decrement += Math.abs(move[j] * slope.score[j]);
    }
    return decrement < 1e-8 + rounding(at);
  }

  #climb(here: Place, slope: Slope, move: Float64Array | undefined): Place | undefined {
    if (move !== undefined) {
      for (let share = 1; share > 0.1; share /= 2) {
        const next = this.#place(this.#moved(here, move, share));
        if (next !== undefined && next.logLikelihood >= here.logLikelihood - rounding(here)) return next;
      }
    }
    const gentle = this.#expectationMove(here, slope);
    for (let share = 1; share > 1e-4; share /= 4) {
      const next = this.#place(this.#moved(here, gentle, share));
      if (next !== undefined && next.logLikelihood >= here.logLikelihood - rounding(here)) return next;
    }
    return undefined;
  }

  #moved(here: Place, move: Float64Array, share: number): Float64Array {
    const last = here.parameters.length - 1;
    return here.parameters.map((value, j) => {
      const next = value + share * move[j];
      // The residual variance has the last parameter to itself and never reaches zero.
      if (j === last) return Math.max(next, value / 10);
      return next < this.#floor ? 0 : next;
    });
  }

  /** phi + 2 phi^2 score / r, which for a variance of its own is the expectation-maximisation update. */
  #expectationMove(here: Place, slope: Slope): Float64Array {
    const { equations } = this.#model;
    const { rows, columns, values } = this.#map;
    return here.parameters.map((value, j) => {
      let rank = 0;
      for (let i = 0; i < rows; i++) {
        if (values[i * columns + j] !== 0) rank += equations.terms[i]?.design.columns ?? equations.records;
      }
      return value === 0 ? 0 : Math.max((2 * value * value * slope.score[j]) / rank, -0.9 * value);
    });
  }

  /** A place with zero parameters just above zero, if the likelihood climbs from there. */
  #release(here: Place): { here: Place; slope: Slope } | undefined {
    const waits = here.parameters.map((value, j) => (value === 0 && this.#released[j] === 0 ? 1 : 0));
    if (!waits.includes(1)) return undefined;
    const raise = (which: Float64Array): { here: Place; slope: Slope } | undefined => {
      const place = this.#place(
        here.parameters.map((value, j) => (which[j] === 1 ? 10 * this.#floor : value)),
      );
      return place === undefined ? undefined : { here: place, slope: this.#slope(place) };
    };
    const raised = raise(waits);
    if (raised === undefined) return undefined;
    const climbs = waits.map((waiting, j) => (waiting === 1 && raised.slope.score[j] > 0 ? 1 : 0));
    for (let j = 0; j < climbs.length; j++) if (climbs[j] === 1) this.#released[j] = 1;
    if (!climbs.includes(1)) return undefined;
    return climbs.every((c, j) => c === waits[j]) ? raised : raise(climbs);
  }

  #conclude(start: Float64Array, here: Place, slope: Slope, verdict: Verdict): VarianceSearch {
    const largestGradient = here.parameters.reduce(
      (most, value, j) => Math.max(most, Math.abs(value * slope.score[j])),
      0,
    );
    const inverse = informationInverse(slope.average, positivePlaces(here.parameters), this.#spread);
    const flat = verdict === "flat" || (verdict === "converged" && inverse === undefined);
    const empty = here.variances[here.variances.length - 1] <= 10 * this.#floor;
    const singular = here.variances.some((value) => value === 0);
    const outcome: Pick<VarianceSearch, "verdict" | "trouble"> = flat
      ? { verdict: "flat", trouble: "not_identified" }
      : verdict === "failed"
        ? { verdict, trouble: "not_converged" }
        : empty
          ? { verdict: "failed", trouble: "not_identified" }
          : { verdict: singular ? "singular" : "converged" };
    return {
      ...outcome,
      parameters: here.parameters,
      variances: here.variances,
      logLikelihood: here.logLikelihood,
      solution: here.solution,
      covariance: mappedCovariance(this.#map, here.parameters, inverse),
      record: {
        start: [...mappedVariances(this.#map, start)],
        end: [...here.variances],
        objective: here.logLikelihood,
        evaluations: this.#evaluations,
        largestGradient,
      },
    };
  }
}

/** What rounding alone may do to the log-likelihood. */
function rounding({ logLikelihood }: Place): number {
  return 1e-10 + 1e-13 * Math.abs(logLikelihood);
}

/** Mean square around the fixed effects alone, by least squares. */
function fixedOnlyVariance({
  equations,
  crossValues,
  rightHandSide,
  y,
  weights,
}: GaussianModel): number | undefined {
  const first = equations.design.columns - equations.fixedCount;
  const factor = denseCholesky(fixedBlock(equations, crossValues));
  if (!factor.positiveDefinite) return undefined;
  const effects = new Float64Array(equations.design.columns);
  effects.set(solveDense(factor, rightHandSide.subarray(first)), first);
  const fitted = designProduct(equations.design, effects);
  let sum = 0;
  for (let r = 0; r < y.length; r++) sum += weights[r] * (y[r] - fitted[r]) ** 2;
  return sum / (y.length - equations.fixedCount);
}
