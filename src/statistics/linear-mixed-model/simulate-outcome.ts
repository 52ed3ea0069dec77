import type { Random } from "../random.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import type { LinearMixedInput } from "./linear-mixed-design.ts";
import { effectCount, randomColumns } from "./random-columns.ts";
import { factorsOf } from "./relative-covariance.ts";

/** Parameters to simulate from: β, σ², and the lower-triangular factor of each term's covariance matrix by rows. */
export interface LinearMixedParameters {
  readonly fixedEffects: ArrayLike<number>;
  readonly sigmaSquared: number;
  /** For each term a square factor F (row by row): effects of a level = F z, z standard normal. */
  readonly factors: readonly ArrayLike<number>[];
}

/** Simulated outcome together with the effects that made it. */
export interface SimulatedOutcome {
  readonly outcome: Float64Array;
  /** For each term, effect e of level l at `l * effects + e`. */
  readonly effects: readonly Float64Array[];
}

/** Draws one outcome vector from the model on the rows of `input` (whose own outcome is not read). */
export function simulateOutcome(
  input: Omit<LinearMixedInput, "outcome">,
  parameters: LinearMixedParameters,
  random: Random,
): SimulatedOutcome {
  const rows = rowCount(input);
  const outcome = new Float64Array(rows);
  if (input.offset !== undefined) outcome.set(input.offset);
  input.fixed.columns.forEach((column, k) => {
    for (let i = 0; i < rows; i++) outcome[i]! += parameters.fixedEffects[k]! * column[i]!;
  });
  const effects = input.random.map((term, t) => {
    const count = effectCount(term);
    const factor = parameters.factors[t]!;
    const drawn = new Float64Array(term.levels * count);
    const z = new Float64Array(count);
    for (let level = 0; level < term.levels; level++) {
      for (let e = 0; e < count; e++) z[e] = random.normal();
      for (let a = 0; a < count; a++) {
        let sum = 0;
        for (let b = 0; b < count; b++) sum += factor[a * count + b]! * z[b]!;
        drawn[level * count + a] = sum;
      }
    }
    return drawn;
  });
  const columns = randomColumns(
    input.random.map((term) => ({ ...term, independent: false })),
    rows,
  );
  for (let i = 0; i < rows; i++) {
    for (let e = columns.rowStart[i]!; e < columns.rowStart[i + 1]!; e++) {
      const column = columns.column[e]!;
      const block = columns.blocks.findIndex(
        ({ offset, levels, size }) => column >= offset && column < offset + levels * size,
      );
      outcome[i]! += columns.value[e]! * effects[block]![column - columns.blocks[block]!.offset]!;
    }
  }
  const sigma = Math.sqrt(parameters.sigmaSquared);
  for (let i = 0; i < rows; i++) {
    const weight = input.weights === undefined ? 1 : input.weights[i]!;
    outcome[i]! += (sigma / Math.sqrt(weight)) * random.normal();
  }
  return { outcome, effects };
}

/** The parameters of a fit, to simulate from. */
export function parametersOf(fit: FittedLinearMixed): LinearMixedParameters {
  const { design, solution, fixedEffects, sigmaSquared } = fit;
  const sigma = Math.sqrt(sigmaSquared);
  const blockFactors = factorsOf(design.blocks, solution.theta);
  const factors = design.input.random.map((term, t) => {
    const effects = effectCount(term);
    const factor = new Float64Array(effects * effects);
    design.blocks.forEach(({ term: owner, firstEffect, size }, b) => {
      if (owner !== t) return;
      for (let i = 0; i < size; i++) {
        for (let j = 0; j <= i; j++) {
          factor[(firstEffect + i) * effects + firstEffect + j] = sigma * blockFactors[b]![i * size + j]!;
        }
      }
    });
    return factor;
  });
  return { fixedEffects, sigmaSquared, factors };
}

function rowCount(input: Omit<LinearMixedInput, "outcome">): number {
  const column = input.fixed.columns[0] ?? input.offset ?? input.weights;
  if (column !== undefined) return column.length;
  const membership = input.random[0]?.membership;
  if (membership === undefined) return 0;
  return membership instanceof Int32Array ? membership.length : membership.rowStart.length - 1;
}
