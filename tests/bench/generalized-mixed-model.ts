import {
  fitGeneralizedMixedModel,
  type GeneralizedMixedFit,
} from "../../src/statistics/generalized-mixed-model/generalized-mixed-model.ts";
import type { GeneralizedMixedInput } from "../../src/statistics/generalized-mixed-model/model-input.ts";
import { Random } from "../../src/statistics/random.ts";

/**
 * Seconds and log-likelihood of R 4.2.2 with lme4 1.1-31 (glmer, Laplace; and its quick mode without the joint step)
 * on the same data, 2 cores, reference BLAS.
 */
const REFERENCE = new Map([
  [10_000, { laplace: 0.741, quick: 0.13, logLikelihood: -5356.56041410299 }],
  [100_000, { laplace: 11.192, quick: 1.2, logLikelihood: -53169.7118859225 }],
  [1_000_000, { laplace: 224.913, quick: 17.41, logLikelihood: -528438.491618183 }],
]);

/** Prints how long mixed logistic regressions take, how that grows with rows, and a flock's gait scores. */
export function benchGeneralizedMixedModel(print: (line: string) => void): void {
  let before: { rows: number; seconds: number } | null = null;
  for (const [rows, reference] of REFERENCE) {
    const input = repeatedScores(rows);
    const { seconds, fit } = timed(rows < 1_000_000 ? 2 : 1, input);
    if (fit.logLikelihood < reference.logLikelihood) {
      throw new Error(`log-likelihood ${fit.logLikelihood} below the reference's ${reference.logLikelihood}`);
    }
    const growth =
      before === null
        ? ""
        : `, growth exponent ${(Math.log(seconds / before.seconds) / Math.log(rows / before.rows)).toFixed(2)}`;
    print(
      `logit y ~ x1 + x2 + (1|animal), Laplace, ${rows} rows: ${seconds.toFixed(2)} s ` +
        `(reference ${reference.laplace} s, ${(reference.laplace / seconds).toFixed(1)} times; ` +
        `its quick mode ${reference.quick} s)${growth}`,
    );
    before = { rows, seconds };
  }
  const flock = gaitScores(3_000);
  const { seconds, fit } = timed(3, flock);
  print(
    `gait scores with animal, pen, pen-by-month and month, 3000 rows: ${seconds.toFixed(2)} s, ${fit.verdict}`,
  );
}

function timed(times: number, input: GeneralizedMixedInput): { seconds: number; fit: GeneralizedMixedFit } {
  let seconds = Number.POSITIVE_INFINITY;
  let last: GeneralizedMixedFit | null = null;
  for (let run = 0; run < times; run++) {
    const start = performance.now();
    const fit = fitGeneralizedMixedModel(input);
    seconds = Math.min(seconds, (performance.now() - start) / 1000);
    if ("trouble" in fit) throw new Error(`${fit.trouble}: ${fit.detail}`);
    last = fit;
  }
  return { seconds, fit: last! };
}

/**
 * Ten rows an animal on average. Streams are those of the minimal standard generator with multiplier 48271 (Park &
 * Miller 1988; Park, Miller & Stockmeyer 1993), so that other programs can make the same rows.
 */
function repeatedScores(rows: number): GeneralizedMixedInput {
  const uniform = (count: number, seed: number) => {
    const next = stream(seed);
    return Float64Array.from({ length: count }, next);
  };
  const nearlyNormal = (count: number, seed: number) => {
    const next = stream(seed);
    return Float64Array.from({ length: count }, () => {
      let sum = next();
      for (let k = 1; k < 12; k++) sum += next();
      return sum - 6;
    });
  };
  const animals = rows / 10;
  const animal = Int32Array.from(uniform(rows, 22001), (u) => Math.floor(u * animals));
  const x1 = nearlyNormal(rows, 22002).map((z) => Math.floor(z * 1e6 + 0.5) / 1e6);
  const x2 = uniform(rows, 22003).map((u) => (u < 0.5 ? 1 : 0));
  const effect = nearlyNormal(animals, 22004);
  const draw = uniform(rows, 22005);
  const outcome = draw.map((v, i) => {
    const eta = -1.5 + 0.5 * x1[i] + 0.4 * x2[i] + effect[animal[i]];
    return v < 1 / (1 + Math.exp(-eta)) ? 1 : 0;
  });
  return {
    family: { distribution: "binomial", link: "logit" },
    outcome,
    fixed: { names: ["intercept", "x1", "x2"], columns: [new Float64Array(rows).fill(1), x1, x2] },
    random: [{ name: "animal", levels: animals, membership: animal }],
  };
}

function stream(seed: number): () => number {
  let state = seed;
  const next = () => {
    state = (48271 * state) % 2147483647;
    return state / 2147483647;
  };
  for (let k = 0; k < 16; k++) next();
  return next;
}

/** 130 animals in 6 pens over 24 months, seven fixed columns. */
function gaitScores(rows: number): GeneralizedMixedInput {
  const [animals, pens, months] = [130, 6, 24];
  const random = new Random(5);
  const normals = (count: number, sd: number) =>
    Float64Array.from({ length: count }, () => sd * random.normal());
  const [ofAnimal, ofPen, ofCell, ofMonth] = [
    normals(animals, 0.9),
    normals(pens, 0.4),
    normals(pens * months, 0.4),
    normals(months, 0.4),
  ];
  const animal = Int32Array.from({ length: rows }, (_, i) => i % animals);
  const month = Int32Array.from({ length: rows }, (_, i) => Math.floor((i * months) / rows));
  const pen = animal.map((a) => a % pens);
  const cell = pen.map((p, i) => p * months + month[i]);
  const column = (value: (i: number) => number) => Float64Array.from({ length: rows }, (_, i) => value(i));
  const wetness = column((i) => Math.round(100 * (Math.sin(cell[i]) + 0.3 * random.normal())) / 100);
  const columns = [
    column(() => 1),
    wetness,
    column((i) => (animal[i] % 3 === 0 ? 1 : 0)),
    column((i) => (animal[i] % 5 === 0 ? 1 : 0)),
    column((i) => Math.sin((month[i] * Math.PI) / 6)),
    column((i) => Math.cos((month[i] * Math.PI) / 6)),
    column((i) => Math.cos(3.3 * cell[i])),
  ];
  const outcome = column((i) => {
    const eta = -2.5 + 0.4 * wetness[i] + 0.3 * columns[2][i] + ofAnimal[animal[i]] + ofPen[pen[i]];
    return random.bernoulli(1 / (1 + Math.exp(-(eta + ofCell[cell[i]] + ofMonth[month[i]])))) ? 1 : 0;
  });
  return {
    family: { distribution: "binomial", link: "logit" },
    outcome,
    fixed: { names: ["intercept", "wetness", "young", "old", "sine", "cosine", "protein"], columns },
    random: [
      { name: "animal", levels: animals, membership: animal },
      { name: "pen", levels: pens, membership: pen },
      { name: "pen by month", levels: pens * months, membership: cell },
      { name: "month", levels: months, membership: month },
    ],
  };
}
