import { type DenseFactor, denseCholesky, solveDense } from "../linear-algebra/dense-cholesky.ts";
import { zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { Unfit } from "../verdict.ts";
import type { AnimalModelInput } from "./animal-model.ts";
import type { PreconditionedOperator } from "./conjugate-gradient.ts";
import { unfit, usedShares } from "./genetic-frame.ts";
import type { Inbreeding } from "./inbreeding.ts";
import { addRelationshipInverseProduct, relationshipInverseDiagonal } from "./relationship-inverse.ts";
import { columnDesign, composeDesigns, joinDesigns, type SparseDesign } from "./sparse-design.ts";

/**
 * The mixed-model equations as an operator, in the order animals, groups, other terms, fixed effects.
 * Preconditioned by the diagonal for long terms and by the exact block of all short ones together.
 */
export interface IterativeEquations extends PreconditionedOperator {
  readonly animals: number;
  readonly fixedStart: number;
  readonly shares: SparseDesign | null;
  readonly design: SparseDesign;
  readonly kin: Inbreeding;
  /** W'R^-1 y. */
  load(y: ArrayLike<number>): Float64Array;
}

/** Terms with more effects than this are preconditioned by their diagonal. */
const LONG_TERM = 400;

/** Builds the operator; terms of variance zero are left out. */
export function iterativeEquations(
  input: AnimalModelInput,
  variances: Float64Array,
  kin: Inbreeding,
): IterativeEquations | Unfit {
  const { pedigree } = input;
  const records = input.y.length;
  const animals = pedigree.size;
  const shares = usedShares(input);
  const designs = [
    ...(shares === null ? [] : [composeDesigns(input.animal, shares)]),
    ...(input.others ?? []).map((t) => t.design),
  ];
  const residual = variances[variances.length - 1];
  if (
    variances.length !== designs.length + 2 ||
    !variances.every((v) => v >= 0) ||
    !(residual > 0) ||
    !(variances[0] > 0)
  ) {
    return unfit("invalid_input", `variances ${[...variances].join(", ")} for ${designs.length + 2} terms`);
  }
  const kept = designs.map((d, k) =>
    variances[k + 1] > 0 ? d : { ...d, value: new Float64Array(d.value.length) },
  );
  const fixed = columnDesign(records, input.fixed);
  const design = joinDesigns(records, [input.animal, ...kept, fixed]);
  const weights = Float64Array.from({ length: records }, (_, r) => (input.weights?.[r] ?? 1) / residual);
  const ridge = new Float64Array(design.columns);
  let start = animals;
  kept.forEach((d, k) => {
    ridge.fill(variances[k + 1] > 0 ? 1 / variances[k + 1] : 1, start, start + d.columns);
    start += d.columns;
  });
  const multiply = (x: Float64Array, into: Float64Array): void => {
    for (let i = 0; i < x.length; i++) into[i] = ridge[i] * x[i];
    addRelationshipInverseProduct(pedigree, kin.mendelianVariance, x, 1 / variances[0], into);
    addCrossProduct(design, weights, x, into);
  };
  const relatives = relationshipInverseDiagonal(pedigree, kin.mendelianVariance);
  for (let i = 0; i < animals; i++) ridge[i] += relatives[i] / variances[0];
  const precondition = preconditioner(design, weights, ridge, shortEffects(animals, kept, fixed));
  ridge.fill(0, 0, animals);
  if (precondition === undefined) {
    return unfit("rank_deficient", "a fixed column depends on others");
  }
  return {
    order: design.columns,
    animals,
    fixedStart: design.columns - fixed.columns,
    shares,
    design,
    kin,
    multiply,
    precondition,
    load: (y) => {
      const load = new Float64Array(design.columns);
      for (let r = 0; r < records; r++) {
        for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
          load[design.column[e]] += design.value[e] * weights[r] * y[r];
        }
      }
      return load;
    },
  };
}

/** Places of the effects that are few enough to be inverted together. */
function shortEffects(animals: number, terms: readonly SparseDesign[], fixed: SparseDesign): number[] {
  const places: number[] = [];
  let start = animals;
  for (const term of [...terms, fixed]) {
    if (term === fixed || term.columns <= LONG_TERM) {
      for (let i = 0; i < term.columns; i++) places.push(start + i);
    }
    start += term.columns;
  }
  return places;
}

function addCrossProduct(
  design: SparseDesign,
  weights: Float64Array,
  x: Float64Array,
  into: Float64Array,
): void {
  const { rows, rowStart, column, value } = design;
  for (let r = 0; r < rows; r++) {
    const from = rowStart[r];
    const to = rowStart[r + 1];
    let sum = 0;
    for (let e = from; e < to; e++) sum += value[e] * x[column[e]];
    sum *= weights[r];
    for (let e = from; e < to; e++) into[column[e]] += value[e] * sum;
  }
}

/** `ridge`: what the random terms' own covariances add to the diagonal. */
function preconditioner(
  design: SparseDesign,
  weights: Float64Array,
  ridge: Float64Array,
  short: readonly number[],
): PreconditionedOperator["precondition"] | undefined {
  const diagonal = ridge.slice();
  const place = new Int32Array(design.columns).fill(-1);
  short.forEach((effect, k) => {
    place[effect] = k;
  });
  const block = zeroMatrix(short.length, short.length);
  short.forEach((effect, k) => {
    block.values[k * short.length + k] = ridge[effect];
  });
  for (let r = 0; r < design.rows; r++) {
    for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
      const amount = design.value[e] * weights[r];
      diagonal[design.column[e]] += amount * design.value[e];
      const row = place[design.column[e]];
      if (row < 0) continue;
      for (let f = design.rowStart[r]; f < design.rowStart[r + 1]; f++) {
        const column = place[design.column[f]];
        if (column >= 0) block.values[row * short.length + column] += amount * design.value[f];
      }
    }
  }
  const factor = denseCholesky(block, 1e-11);
  if (!factor.positiveDefinite) return undefined;
  const inverse = diagonal.map((d) => 1 / d);
  return (r, into) => preconditionWith(inverse, short, factor, r, into);
}

function preconditionWith(
  inverse: Float64Array,
  short: readonly number[],
  factor: DenseFactor,
  r: Float64Array,
  into: Float64Array,
): void {
  for (let i = 0; i < r.length; i++) into[i] = r[i] * inverse[i];
  const answer = solveDense(
    factor,
    short.map((effect) => r[effect]),
  );
  for (let k = 0; k < short.length; k++) into[short[k]] = answer[k];
}
