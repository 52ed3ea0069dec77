import type { LinearMixedInput } from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import { Random } from "../../../src/statistics/random.ts";

/**
 * An invented model with everything at once: weights, offset, correlated intercept and slope, a slope-only term, rows
 * that load on several pens (one of them twice on the same pen), rows without a level, a level without rows, no
 * intercept in one of its uses.
 */
export function mixedBag(seed: number, rows = 60): LinearMixedInput {
  const random = new Random(seed);
  const draw = (f: () => number): Float64Array => Float64Array.from({ length: rows }, f);
  const x = draw(() => random.normal());
  const days = draw(() => 0.5 + random.uniform());
  const ones = new Float64Array(rows).fill(1);
  const animal = Int32Array.from({ length: rows }, (_, i) => i % 9);
  const claw = Int32Array.from({ length: rows }, (_, i) => (i % 7 === 0 ? -1 : i % 18));
  const rowStart = new Int32Array(rows + 1);
  const level: number[] = [];
  const weight: number[] = [];
  for (let i = 0; i < rows; i++) {
    const pens = 1 + random.integer(3);
    for (let k = 0; k < pens; k++) {
      level.push(i === 3 ? 2 : random.integer(5));
      weight.push(random.uniform());
    }
    rowStart[i + 1] = level.length;
  }
  const effects = Float64Array.from({ length: 60 }, () => random.normal());
  const outcome = draw(() => random.normal());
  for (let i = 0; i < rows; i++) {
    outcome[i]! += 2 + x[i]! + effects[animal[i]!]! + 0.8 * x[i]! * effects[20 + animal[i]!]!;
    if (claw[i]! >= 0) outcome[i]! += days[i]! * effects[40 + claw[i]!]!;
  }
  return {
    outcome,
    weights: draw(() => 0.3 + 2 * random.uniform()),
    offset: draw(() => random.uniform()),
    fixed: { names: ["one", "x"], columns: [ones, x] },
    random: [
      { name: "animal", levels: 9, membership: animal, effects: [ones, x] },
      { name: "claw", levels: 20, membership: claw, effects: [days] },
      {
        name: "pen",
        levels: 5,
        membership: { rowStart, level: Int32Array.from(level), weight: Float64Array.from(weight) },
      },
    ],
  };
}

/** Animals in pens, each measured some times. */
export function animalsInPens(animals: number, times: number, pens = 4): LinearMixedInput {
  const random = new Random(5);
  const rows = animals * times;
  const animal = Int32Array.from({ length: rows }, (_, i) => i % animals);
  const pen = animal.map((one) => one % pens);
  const own = Float64Array.from({ length: animals }, () => random.normal());
  const shared = Float64Array.from({ length: pens }, () => 0.5 * random.normal());
  const outcome = (i: number): number => 3 + own[animal[i]!]! + shared[pen[i]!]! + random.normal();
  return {
    outcome: Float64Array.from({ length: rows }, (_, i) => outcome(i)),
    fixed: { names: ["one"], columns: [new Float64Array(rows).fill(1)] },
    random: [
      { name: "animal", levels: animals, membership: animal },
      { name: "pen", levels: pens, membership: pen },
    ],
  };
}
