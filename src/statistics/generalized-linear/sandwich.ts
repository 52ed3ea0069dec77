import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";
import { multiply } from "../linear-algebra/dense-matrix.ts";
import type { GeneralizedLinearFit } from "./generalized-linear-model.ts";

/** factor · B M B, B symmetric. */
export function sandwich(bread: DenseMatrix, meat: DenseMatrix, factor = 1): DenseMatrix {
  const product = multiply(multiply(bread, meat), bread);
  return { ...product, values: product.values.map((v) => v * factor) };
}

/** (X'WX)⁻¹, without the dispersion. */
export function unscaledInverse(fit: GeneralizedLinearFit): DenseMatrix {
  return { ...fit.covariance, values: fit.covariance.values.map((v) => v / fit.dispersion) };
}

/** Rows of each cluster, clusters in the order of first appearance. */
export function clusterRows(cluster: ArrayLike<number>): Int32Array[] {
  const rows = new Map<number, number[]>();
  for (let i = 0; i < cluster.length; i++) {
    const found = rows.get(cluster[i]);
    if (found === undefined) rows.set(cluster[i], [i]);
    else found.push(i);
  }
  return Array.from(rows.values(), (list) => Int32Array.from(list));
}
