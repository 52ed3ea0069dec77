/** Log-likelihood Σ weight·ln(mass in first … last) of masses on a line, equal ranges merged. */
export interface RangeLikelihood {
  /** Number of places that can hold mass. */
  readonly places: number;
  readonly first: Int32Array;
  readonly last: Int32Array;
  readonly weight: Float64Array;
  readonly totalWeight: number;
}

/** Rows merged by equal range; rows with first > last or no weight are left out. */
export function rangeLikelihood(
  places: number,
  first: Int32Array,
  last: Int32Array,
  weights: Float64Array,
): RangeLikelihood {
  const rows = first.length;
  const used: number[] = [];
  for (let i = 0; i < rows; i++) if (weights[i] > 0 && last[i] >= first[i]) used.push(i);
  const order = stableOrder(stableOrder(Int32Array.from(used), last, places), first, places);
  const mergedFirst: number[] = [];
  const mergedLast: number[] = [];
  const weight: number[] = [];
  let totalWeight = 0;
  for (const i of order) {
    const held = weight.length - 1;
    totalWeight += weights[i];
    if (held >= 0 && mergedFirst[held] === first[i] && mergedLast[held] === last[i]) {
      weight[held] += weights[i];
    } else {
      mergedFirst.push(first[i]);
      mergedLast.push(last[i]);
      weight.push(weights[i]);
    }
  }
  return {
    places,
    first: Int32Array.from(mergedFirst),
    last: Int32Array.from(mergedLast),
    weight: Float64Array.from(weight),
    totalWeight,
  };
}

/** cumulative[j] = mass before place j, exactly 1 at the end. */
export function cumulate(masses: Float64Array): Float64Array {
  const cumulative = new Float64Array(masses.length + 1);
  for (let j = 0; j < masses.length; j++) cumulative[j + 1] = cumulative[j] + masses[j];
  const total = cumulative[masses.length];
  if (total !== 1) for (let j = 1; j <= masses.length; j++) cumulative[j] /= total;
  return cumulative;
}

/** Σ weight·ln(mass); -Infinity where a row has none. */
export function logLikelihood({ first, last, weight }: RangeLikelihood, cumulative: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < weight.length; i++) {
    const mass = cumulative[last[i] + 1] - cumulative[first[i]];
    if (!(mass > 0)) return -Infinity;
    sum += weight[i] * Math.log(mass);
  }
  return sum;
}

/** Derivative of the log-likelihood to each place's mass. */
export function derivatives(likelihood: RangeLikelihood, cumulative: Float64Array): Float64Array {
  const { places, first, last, weight } = likelihood;
  const derivative = new Float64Array(places + 1);
  for (let i = 0; i < weight.length; i++) {
    const share = weight[i] / (cumulative[last[i] + 1] - cumulative[first[i]]);
    derivative[first[i]] += share;
    derivative[last[i] + 1] -= share;
  }
  for (let j = 1; j < places; j++) derivative[j] += derivative[j - 1];
  return derivative.subarray(0, places);
}

/** How far the largest derivative is above one per unit of weight. */
export function largestGap(likelihood: RangeLikelihood, derivative: Float64Array): number {
  let most = 0;
  for (let j = 0; j < derivative.length; j++) most = Math.max(most, derivative[j]);
  return most / likelihood.totalWeight - 1;
}

/** Rows sorted by a key in 0 … keys − 1, equal keys in their old order. */
function stableOrder(rows: Int32Array, key: Int32Array, keys: number): Int32Array {
  const position = new Int32Array(keys + 1);
  for (const i of rows) position[key[i] + 1]++;
  for (let k = 0; k < keys; k++) position[k + 1] += position[k];
  const sorted = new Int32Array(rows.length);
  for (const i of rows) sorted[position[key[i]]++] = i;
  return sorted;
}
