import { Random } from "../../src/statistics/random.ts";
import { acceleratedFailureTime } from "../../src/statistics/survival/accelerated-failure-time.ts";
import { turnbull } from "../../src/statistics/survival/turnbull.ts";
import { bootstrapTurnbull } from "../../src/statistics/survival/turnbull-bootstrap.ts";

/** Seconds of R 4.2.2 with survival 3.5-3 on the same data (2 cores, reference BLAS). */
const REFERENCE = { weibullMillion: 5.27, turnbullThousand: 6.16 };

/** Prints how long the survival estimates take on simulated checks of simulated animals. */
export function benchSurvival(print: (line: string) => void): void {
  for (const rows of [10_000, 100_000, 1_000_000]) {
    const data = simulatedChecks(rows);
    const intercept = new Float64Array(rows).fill(1);
    const seconds = best(3, () => {
      const fit = acceleratedFailureTime({
        distribution: "weibull",
        names: ["intercept", "x1", "x2"],
        columns: [intercept, data.x1, data.x2],
        left: data.left,
        right: data.right,
      });
      if (fit.verdict !== "converged") throw new Error(fit.detail);
    });
    const against = rows === 1_000_000 ? beside(REFERENCE.weibullMillion, seconds) : "";
    print(`interval-censored Weibull model, 2 covariates, ${rows} rows: ${seconds.toFixed(2)} s${against}`);
  }
  for (const rows of [1_000, 100_000]) {
    const data = simulatedChecks(rows);
    const seconds = best(3, () => {
      const fit = turnbull(data);
      if (fit.verdict !== "converged") throw new Error(fit.detail);
    });
    const against = rows === 1_000 ? beside(REFERENCE.turnbullThousand, seconds) : "";
    print(`Turnbull's curve, ${rows} rows: ${seconds.toFixed(3)} s${against}`);
  }
  const data = simulatedChecks(1_000);
  const seconds = best(1, () => {
    bootstrapTurnbull({
      ...data,
      cluster: Int32Array.from(data.left, (_, i) => i % 120),
      at: [30, 60, 90, 120],
      fractions: [0.1, 0.5, 0.9],
      random: new Random(1),
    });
  });
  print(`500 bootstrap samples of 120 clusters, 1000 rows: ${seconds.toFixed(2)} s`);
}

function best(times: number, run: () => void): number {
  let least = Infinity;
  for (let i = 0; i < times; i++) {
    const start = performance.now();
    run();
    least = Math.min(least, (performance.now() - start) / 1000);
  }
  return least;
}

function beside(reference: number, seconds: number): string {
  return ` (reference ${reference} s, ${(reference / seconds).toFixed(1)} times)`;
}

/**
 * Weibull times checked at each row's own regular visits. Streams are those of the minimal standard generator with
 * multiplier 48271 (Park & Miller 1988; Park, Miller & Stockmeyer 1993), so that other programs can make the same rows.
 */
function simulatedChecks(rows: number) {
  const draw = (seed: number, value: (next: () => number) => number) => {
    let state = seed;
    const next = () => {
      state = (48271 * state) % 2147483647;
      return state / 2147483647;
    };
    for (let i = 0; i < 16; i++) next();
    return Float64Array.from({ length: rows }, () => value(next));
  };
  const nearlyNormal = (next: () => number) => {
    let sum = 0;
    for (let k = 0; k < 12; k++) sum += next();
    return Math.floor((sum - 6) * 1e6 + 0.5) / 1e6;
  };
  const x1 = draw(33001, nearlyNormal);
  const x2 = draw(33002, (next) => (next() < 0.5 ? 1 : 0));
  const u = draw(33003, (next) => next());
  const width = draw(33004, (next) => 20 + Math.floor(60 * next()));
  const visits = draw(33005, (next) => 3 + Math.floor(8 * next()));
  const left = new Float64Array(rows);
  const right = new Float64Array(rows);
  for (let i = 0; i < rows; i++) {
    const time = Math.exp(5 - 0.4 * x1[i] + 0.3 * x2[i] + 0.7 * Math.log(-Math.log(u[i])));
    const seen = time < width[i] * visits[i];
    left[i] = width[i] * (seen ? Math.floor(time / width[i]) : visits[i]);
    right[i] = seen ? left[i] + width[i] : Infinity;
  }
  return { left, right, x1, x2 };
}
