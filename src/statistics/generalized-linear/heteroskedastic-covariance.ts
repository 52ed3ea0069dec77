import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";
import { zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { GeneralizedLinearFit } from "./generalized-linear-model.ts";
import { sandwich, unscaledInverse } from "./sandwich.ts";

/**
 * Covariance of the coefficients that is valid when the variance of a row is not the model's. HC0 is the plain
 * sandwich (White 1980); HC1 multiplies it by n/(n − p); HC2 and HC3 divide each squared residual by 1 − h and
 * (1 − h)², h the row's leverage (MacKinnon & White 1985, J. Econometrics 29:305-325).
 */
export function heteroskedasticCovariance(
  fit: GeneralizedLinearFit,
  type: "HC0" | "HC1" | "HC2" | "HC3",
): DenseMatrix {
  const { design } = fit.data;
  const { rows, columns: p, values } = design;
  const bread = unscaledInverse(fit);
  const leverage = leverages(fit);
  const power = type === "HC2" ? 1 : type === "HC3" ? 2 : 0;
  const meat = zeroMatrix(p, p);
  for (let i = 0; i < rows; i++) {
    const square = fit.rowScores[i] ** 2 / (1 - leverage[i]) ** power;
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) {
        meat.values[j * p + k] += square * values[i * p + j] * values[i * p + k];
      }
    }
  }
  return sandwich(bread, meat, type === "HC1" ? rows / (rows - p) : 1);
}

/** Leverage of each row: the diagonal of W^½ X (X'WX)⁻¹ X' W^½. */
export function leverages(fit: GeneralizedLinearFit): Float64Array {
  const { rows, columns: p, values } = fit.data.design;
  const inverse = unscaledInverse(fit).values;
  const result = new Float64Array(rows);
  for (let i = 0; i < rows; i++) {
    let sum = 0;
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) sum += values[i * p + j] * inverse[j * p + k] * values[i * p + k];
    }
    result[i] = sum * fit.workingWeights[i];
  }
  return result;
}
