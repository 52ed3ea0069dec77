import { fitLinearMixedModel } from "../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import type { LinearMixedInput } from "../../src/statistics/linear-mixed-model/linear-mixed-design.ts";

/** One timed fit. */
interface LinearMixedTiming {
  readonly model: string;
  readonly rows: number;
  readonly seconds: number;
  readonly evaluations: number;
  /** Seconds that lme4 1.1-31 took for the same model on the same data (R 4.2.2, reference BLAS), where it was timed. */
  readonly reference?: number;
  readonly megabytes: number;
}

/**
 * Times linear mixed models from ten thousand rows up to a million and prints a table with the growth exponent
 * between sizes (1: linear in rows).
 */
export function benchLinearMixedModel(print: (line: string) => void, largest = 1_000_000): void {
  const timings: LinearMixedTiming[] = [];
  for (const rows of [10_000, 100_000, 1_000_000].filter((n) => n <= largest)) {
    timings.push(time("(1|animal)", animalsInPens(rows, false), animalReference[rows]));
    timings.push(time("(1|animal) + (1|pen)", animalsInPens(rows, true), animalPenReference[rows]));
  }
  for (const goats of [120, 1_200, 17_000].filter((n) => n * 12 <= largest)) {
    timings.push(time("growth: six slope-only terms", growingHorn(goats), undefined));
  }
  for (const line of table(timings)) print(line);
}

const animalReference: Record<number, number> = { 10000: 0.13, 100000: 0.92, 1000000: 10.3 };
const animalPenReference: Record<number, number> = { 10000: 0.24, 100000: 2.2, 1000000: 38.79 };

function time(model: string, input: LinearMixedInput, reference: number | undefined): LinearMixedTiming {
  const started = performance.now();
  const fit = fitLinearMixedModel(input);
  const seconds = (performance.now() - started) / 1000;
  if ("trouble" in fit) throw new Error(`${fit.trouble}: ${fit.detail}`);
  return {
    model,
    rows: input.outcome.length,
    seconds,
    evaluations: fit.search.evaluations,
    ...(reference === undefined ? {} : { reference }),
    megabytes: process.resourceUsage().maxRSS / 1024,
  };
}

function table(timings: readonly LinearMixedTiming[]): string[] {
  const header = "linear mixed models, REML            rows   seconds  steps  exponent    lme4   peak MB";
  const lines = timings.map((timing) => {
    const smaller = timings.filter((t) => t.model === timing.model && t.rows < timing.rows).at(-1);
    const exponent =
      smaller === undefined
        ? ""
        : (Math.log(timing.seconds / smaller.seconds) / Math.log(timing.rows / smaller.rows)).toFixed(2);
    return [
      timing.model.padEnd(30),
      String(timing.rows).padStart(10),
      timing.seconds.toFixed(3).padStart(9),
      String(timing.evaluations).padStart(6),
      exponent.padStart(9),
      (timing.reference === undefined ? "" : `${timing.reference} s`).padStart(8),
      timing.megabytes.toFixed(0).padStart(8),
    ].join(" ");
  });
  return [header, ...lines];
}

/**
 * y = 2 + 0.5 x1 − x2 + 0.3 x3 + animal + pen + e, ten rows an animal, fifty pens; the generator of the reference
 * timings, so that both fit the very same numbers.
 */
function animalsInPens(rows: number, withPens: boolean): LinearMixedInput {
  const animals = rows / 10;
  const pens = 50;
  const animal = Int32Array.from(uniforms(rows, 11001), (u) => Math.floor(u * animals));
  const pen = Int32Array.from(uniforms(rows, 11002), (u) => Math.floor(u * pens));
  const x1 = normals(rows, 11003).map(sixDigits);
  const x2 = uniforms(rows, 11004).map((u) => (u < 0.5 ? 1 : 0));
  const x3 = uniforms(rows, 11005).map((u) => sixDigits(u * 4));
  const a = normals(animals, 11006);
  const p = normals(pens, 11007);
  const outcome = normals(rows, 11008).map((e, i) =>
    sixDigits(2 + 0.5 * x1[i]! - x2[i]! + 0.3 * x3[i]! + a[animal[i]!]! + 0.5 * p[pen[i]!]! + 1.5 * e),
  );
  return {
    outcome,
    fixed: { names: ["one", "x1", "x2", "x3"], columns: [new Float64Array(rows).fill(1), x1, x2, x3] },
    random: [
      { name: "animal", levels: animals, membership: animal },
      ...(withPens ? [{ name: "pen", levels: pens, membership: pen }] : []),
    ],
  };
}

/**
 * Growth over intervals in flocks of forty goats, six pens a flock: animal, claw, interval, pen, pen-month and month
 * slopes, the last two by days spent in three months each; four claws and three intervals a goat.
 */
function growingHorn(goats: number): LinearMixedInput {
  const claws = 4;
  const intervals = 3;
  const rows = goats * claws * intervals;
  const months = 2 * intervals + 1;
  const pens = 6 * Math.ceil(goats / 40);
  const index = (f: (row: number) => number): Int32Array => Int32Array.from({ length: rows }, (_, i) => f(i));
  const goat = (i: number): number => Math.floor(i / (claws * intervals));
  const interval = (i: number): number => Math.floor(i / claws) % intervals;
  const pen = (i: number): number => 6 * Math.floor(goat(i) / 40) + (goat(i) % 6);
  const spell = uniforms(goats * intervals, 55001);
  const days = Float64Array.from({ length: rows }, (_, i) => 1.3 + spell[goat(i) * intervals + interval(i)]!);
  const rowStart = Int32Array.from({ length: rows + 1 }, (_, i) => 3 * i);
  const parts = (level: (row: number, month: number) => number) => ({
    rowStart,
    level: Int32Array.from({ length: 3 * rows }, (_, e) =>
      level(Math.floor(e / 3), 2 * interval(Math.floor(e / 3)) + (e % 3)),
    ),
    weight: Float64Array.from(
      { length: 3 * rows },
      (_, e) => [0.3, 0.4, 0.3][e % 3]! * days[Math.floor(e / 3)]!,
    ),
  });
  const effects = [days];
  const random = [
    { name: "animal", levels: goats, membership: index(goat), effects },
    { name: "claw", levels: goats * claws, membership: index((i) => goat(i) * claws + (i % claws)), effects },
    { name: "interval", levels: goats * intervals, membership: index((i) => Math.floor(i / claws)), effects },
    { name: "pen", levels: pens, membership: index(pen), effects },
    { name: "pen-month", levels: pens * months, membership: parts((i, m) => pen(i) * months + m) },
    { name: "month", levels: months, membership: parts((_, m) => m) },
  ];
  const deviations = [0.5, 0.2, 0.3, 0.2, 0.3, 0.2];
  const drawn = random.map(({ levels }, t) => normals(levels, 55010 + t).map((z) => deviations[t]! * z));
  const outcome = normals(rows, 55002).map((e, i) => {
    let rate = 4.5;
    for (let t = 0; t < 4; t++) rate += drawn[t]![(random[t]!.membership as Int32Array)[i]!]!;
    let sum = rate * days[i]! + 0.8 * e;
    for (let k = 0; k < 3; k++) {
      const weight = [0.3, 0.4, 0.3][k]! * days[i]!;
      const month = 2 * interval(i) + k;
      sum += weight * (drawn[4]![pen(i) * months + month]! + drawn[5]![month]!);
    }
    return sum;
  });
  const hind = days.map((d, i) => (i % claws >= 2 ? d : 0));
  return { outcome, fixed: { names: ["days", "hind"], columns: [days, hind] }, random };
}

/** Lehmer generator (Park and Miller 1988), warmed up. */
function lehmer(seed: number): () => number {
  let state = seed % 2147483647 || 1;
  for (let i = 0; i < 16; i++) state = (48271 * state) % 2147483647;
  return () => {
    state = (48271 * state) % 2147483647;
    return state / 2147483647;
  };
}

function uniforms(count: number, seed: number): Float64Array {
  const next = lehmer(seed);
  return Float64Array.from({ length: count }, next);
}

/** Sums of twelve uniforms, less six. */
function normals(count: number, seed: number): Float64Array {
  const next = lehmer(seed);
  return Float64Array.from({ length: count }, () => {
    let sum = next();
    for (let k = 1; k < 12; k++) sum += next();
    return sum - 6;
  });
}

function sixDigits(x: number): number {
  return Math.floor(x * 1e6 + 0.5) / 1e6;
}
