import type { VarianceRow } from "../../src/findings/variance.ts";
import {
  averagedBreedingValues,
  averagedCombinations,
} from "../../src/statistics/pedigree/averaged-breeding-values.ts";
import { linesAgainstOthers } from "../../src/statistics/pedigree/breeding-combinations.ts";
import type { GeneticFrame } from "../../src/statistics/pedigree/genetic-frame.ts";
import type { VarianceAverage } from "../../src/statistics/pedigree/variance-average.ts";
import type { FlockPlan, SimulatedFlock } from "./pedigree-flock.ts";

/** One figure of the simulations: passes when it lies from `lo` to `hi`. */
export interface PedigreeCoverageRow {
  readonly what: string;
  readonly flocks: number;
  readonly got: number;
  readonly lo: number;
  readonly hi: number;
  readonly passes: boolean;
}

/** What one flock's values, reliabilities and lines came to against its truth. */
export class Held {
  readonly #name: string;
  readonly #bounds: readonly [number, number];
  readonly #animals: number[] = [];
  readonly #reliability: number[] = [];
  readonly #lines: number[] = [];
  readonly #chances: { chance: number; happened: number }[] = [];
  readonly #heritability: number[] = [];

  constructor(name: string, quick: boolean) {
    this.#name = name;
    this.#bounds = quick ? [0.905, 0.985] : [0.93, 0.97];
  }

  /** `reliability`: null where the flock is told none. */
  note(
    flock: SimulatedFlock,
    plan: FlockPlan,
    frame: GeneticFrame,
    average: VarianceAverage,
    reliability: ((base: number[]) => Float64Array) | null,
  ): void {
    const base = Array.from(flock.value, (_, i) => i);
    const level = mean(flock.value);
    const goats = averagedBreedingValues(frame, average, base);
    this.#animals.push(
      mean(flock.value.map((v, i) => Number(v - level >= goats.lo[i] && v - level <= goats.hi[i]))),
    );
    if (reliability !== null) {
      this.#reliability.push(mean(reliability(base)) - correlation(goats.value, flock.value) ** 2);
    }
    if (plan.lines < 2) return;
    const against = linesAgainstOthers(membersOf(flock, plan.lines).filter((line) => line.length > 0));
    const held = averagedCombinations(frame, average, against).map(({ lo, hi, probabilityAbove }, l) => {
      let truth = 0;
      for (let k = 0; k < against[l].animals.length; k++) {
        truth += against[l].weights[k] * flock.value[against[l].animals[k]];
      }
      this.#chances.push({ chance: probabilityAbove, happened: Number(truth > 0) });
      return Number(truth > lo && truth < hi);
    });
    this.#lines.push(mean(held));
  }

  noteHeritability(truth: number, rows: readonly VarianceRow[]): void {
    const { share_lo: lo, share_hi: hi } = rows[0];
    if (lo !== null && hi !== null) this.#heritability.push(Number(lo <= truth && truth <= hi));
  }

  rows(): PedigreeCoverageRow[] {
    const coverage = (what: string, held: readonly number[]): PedigreeCoverageRow =>
      row(`${this.#name}: 95 % intervals of ${what}`, held.length, mean(held), ...this.#bounds);
    return [
      coverage("breeding values", this.#animals),
      ...(this.#lines.length > 0 ? [coverage("lines against the others", this.#lines)] : []),
      ...(this.#heritability.length > 0 ? [coverage("the additive share", this.#heritability)] : []),
      ...(this.#reliability.length === 0
        ? []
        : [
            row(
              `${this.#name}: reliability less squared correlation`,
              this.#reliability.length,
              mean(this.#reliability),
              -0.08,
              0.08,
            ),
          ]),
      ...calibrationRows(this.#name, this.#chances),
    ];
  }
}

/** Chances from 0.85 to 0.95, of one side or the other: right 85 to 95 times in 100, give or take their own error. */
function calibrationRows(
  name: string,
  chances: readonly { readonly chance: number; readonly happened: number }[],
): PedigreeCoverageRow[] {
  const sure = chances
    .map(({ chance, happened }) =>
      chance >= 0.5 ? { chance, happened } : { chance: 1 - chance, happened: 1 - happened },
    )
    .filter(({ chance }) => chance >= 0.85 && chance <= 0.95);
  if (sure.length < 30) return [];
  const error = Math.sqrt((0.9 * 0.1) / sure.length);
  const said = (100 * mean(sure.map((c) => c.chance))).toFixed(0);
  const what = `${name}: right about a line at chances of 0.85 to 0.95 (${said} % said, ${sure.length} lines)`;
  return [row(what, sure.length, mean(sure.map((c) => c.happened)), 0.85 - error, 0.95 + error)];
}

function membersOf(flock: SimulatedFlock, lines: number): number[][] {
  return Array.from({ length: lines }, (_, l) =>
    Array.from(flock.line, (_, i) => i).filter((i) => flock.line[i] === l),
  );
}

export function row(what: string, flocks: number, got: number, lo: number, hi: number): PedigreeCoverageRow {
  return { what, flocks, got, lo, hi, passes: got >= lo && got <= hi };
}

export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum / values.length;
}

export function standardError(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(
    values.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (values.length - 1) / values.length,
  );
}

export function correlation(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const [meanA, meanB] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    ab += (a[i] - meanA) * (b[i] - meanB);
    aa += (a[i] - meanA) ** 2;
    bb += (b[i] - meanB) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
}
