import { describe, expect, it } from "vitest";
import {
  covarianceOf,
  type LinearCombination,
  parseCombination,
} from "../../../src/statistics/linear-mixed-model/linear-combinations.ts";
import type { LinearMixedInput } from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import {
  planParts,
  sharedHalf,
  solveParts,
} from "../../../src/statistics/linear-mixed-model/part-solutions.ts";
import { fitted } from "./fitted.ts";
import { animalsInPens, mixedBag } from "./small-models.ts";

/** Animals with four claws each in two pens. */
function clawsOfAnimals(animals: number, times: number): LinearMixedInput {
  const input = animalsInPens(animals, times, 2);
  const claw = Int32Array.from(
    { length: animals * times },
    (_, i) => 4 * (i % animals) + (Math.floor(i / animals) % 4),
  );
  return { ...input, random: [...input.random, { name: "claw", levels: 4 * animals, membership: claw }] };
}

/** Parts of two models, and how far a part goes alone in each. */
const cases: Readonly<
  Record<string, { input: LinearMixedInput; parts: LinearCombination[]; alone: boolean }>
> = {
  "with everything at once": {
    input: mixedBag(11, 90),
    parts: [
      { fixed: [1, 0] },
      { fixed: [0, 1] },
      ...Array.from({ length: 9 }, (_, level) => ({ random: [{ term: 0, level, weight: 1 }] })),
      { random: [{ term: 0, level: 4, effect: 1, weight: -0.5 }] },
      ...Array.from({ length: 12 }, (_, level) => ({ random: [{ term: 1, level, weight: 1 }] })),
      { random: [{ term: 2, level: 3, weight: 1 }] },
    ],
    alone: false,
  },
  "of many animals": {
    input: clawsOfAnimals(30, 12),
    parts: [
      { fixed: [1] },
      ...Array.from({ length: 30 }, (_, level) => ({ random: [{ term: 2, level: 4 * level, weight: 1 }] })),
      { random: [{ term: 1, level: 1, weight: 1 }] },
    ],
    alone: true,
  },
};

for (const [name, { input, parts, alone }] of Object.entries(cases)) {
  describe(`parts of which sums are taken, ${name}`, () => {
    const fit = fitted(input);
    const solved = solveParts(
      fit.design,
      fit.solution,
      planParts(
        fit.design,
        parts.map((part) => parseCombination(fit.design, part)),
      ),
    );
    const { plan, ownSquare } = solved;
    const sums = [
      { part: [0], weight: [1] },
      { part: [11], weight: [2] },
      { part: [0, 1, 5, 6, 14, 23], weight: [1, 0.3, 0.5, -0.5, 1, 2] },
      { part: parts.map((_, p) => p), weight: parts.map((_, p) => Math.cos(p)) },
    ];

    it("go some of their way alone and the rest together", () => {
      expect(plan.parts.some(({ own }) => own.length > 0)).toBe(alone);
      expect(plan.shared.length).toBeGreaterThan(0);
    });

    it("give their sums the covariances that the whole equations give", () => {
      const covariance = covarianceOf(fit, parts);
      const halves = sums.map(({ part, weight }) => {
        const half = new Float64Array(plan.sharedColumns.length);
        sharedHalf(solved, part, weight, half);
        return half;
      });
      sums.forEach((a, i) => {
        sums.forEach((b, j) => {
          let want = 0;
          a.part.forEach((p, k) => {
            b.part.forEach((q, l) => {
              want += a.weight[k]! * b.weight[l]! * covariance.values[p * parts.length + q]!;
            });
          });
          let found = halves[i]!.reduce((sum, value, k) => sum + value * halves[j]![k]!, 0);
          a.part.forEach((p, k) => {
            const at = b.part.indexOf(p);
            if (at >= 0) found += a.weight[k]! * b.weight[at]! * ownSquare[p]!;
          });
          expect(fit.sigmaSquared * found).toBeCloseTo(want, 10);
        });
      });
    });
  });
}
