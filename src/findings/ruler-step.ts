/** Steps to which lengths are read, mm, coarsest first: 5 mm, 1/8 and 1/16 inch, whole and half millimetres. */
const RULER_STEPS = [5, 25.4 / 8, 25.4 / 16, 1, 0.5];
/** Lengths that may lie beside the step: slips, and means of two readings. */
const MOST_BESIDE = 0.05;
/** How near to a step a length, or a difference of two, written to one decimal may lie, mm. */
const NEAR = 0.101;

/** The step to which lengths, or differences of two lengths, were read, mm; null where they are finer than any ruler. */
export function rulerStep(lengths: ArrayLike<number>): number | null {
  const beside = (step: number): number => {
    let count = 0;
    for (let i = 0; i < lengths.length; i++) {
      const off = Math.abs(lengths[i]! / step - Math.round(lengths[i]! / step)) * step;
      if (off > NEAR) count++;
    }
    return count;
  };
  if (lengths.length === 0) return null;
  return RULER_STEPS.find((step) => beside(step) <= MOST_BESIDE * lengths.length) ?? null;
}
