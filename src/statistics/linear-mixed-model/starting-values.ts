import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { thetaPlace } from "./relative-covariance.ts";

/** Share of the total variance below which no term, and no residual, is started. */
const LEAST_TERM = 0.02;
const LEAST_RESIDUAL = 0.2;

/**
 * A rough θ from the squares between levels (Henderson 1953, Biometrics 9, 226-252, method 1, each effect taken
 * alone): E Σ (z'r)²/z'z = σ² levels + σ_b² Σ z'z. Correlations start at zero.
 */
export function startingTheta(design: LinearMixedDesign): Float64Array {
  const { cross, blocks, layout, randomByResidual, rows } = design;
  const theta = new Float64Array(layout.length);
  const total = design.residualSquares / rows;
  let residual = total;
  const variances: { place: number; variance: number }[] = [];
  blocks.forEach(({ size, levels, offset }, b) => {
    for (let effect = 0; effect < size; effect++) {
      let between = 0;
      let squares = 0;
      let touched = 0;
      for (let level = 0; level < levels; level++) {
        const column = offset + level * size + effect;
        const own = cross.values[cross.columnStart[column]!]!;
        if (own <= 0) continue;
        between += randomByResidual[column]! ** 2 / own;
        squares += own;
        touched++;
      }
      const spread = squares * Math.max(1 - touched / rows, 0.1);
      const least = (LEAST_TERM * total * rows) / squares;
      const variance = Math.max((between - touched * total) / spread, least);
      residual -= (variance * squares) / rows;
      variances.push({ place: layout.start[b]! + thetaPlace(size, effect, effect), variance });
    }
  });
  residual = Math.max(residual, LEAST_RESIDUAL * total);
  for (const { place, variance } of variances) theta[place] = Math.sqrt(variance / residual);
  return theta;
}
