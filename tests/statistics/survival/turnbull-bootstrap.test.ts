import { describe, expect, test } from "vitest";
import { Random } from "../../../src/statistics/random.ts";
import {
  bootstrapTurnbull,
  type TurnbullLimits,
} from "../../../src/statistics/survival/turnbull-bootstrap.ts";

/** Spells of animals checked every 14 days, each animal with its own speed. */
function flock(animals: number, seed: number) {
  const random = new Random(seed);
  const left: number[] = [];
  const right: number[] = [];
  const cluster: number[] = [];
  for (let animal = 0; animal < animals; animal++) {
    const speed = Math.exp(0.3 * random.normal());
    for (let spell = 0; spell < 4; spell++) {
      const t = 60 * speed * Math.exp(0.2 * random.normal());
      const seen = t <= 98;
      left.push(seen ? 14 * Math.floor(t / 14) : 98);
      right.push(seen ? 14 * Math.floor(t / 14) + 14 : Infinity);
      cluster.push(animal);
    }
  }
  return { left, right, cluster };
}

const wanted = { at: [42, 70, 98, 120], fractions: [0.1, 0.5, 0.9], samples: 200 };

describe("cluster bootstrap of Turnbull's curve", () => {
  test("the same seed gives the same limits, another seed others", () => {
    const data = flock(30, 1);
    const first = limits(bootstrapTurnbull({ ...data, ...wanted, random: new Random(4) }));
    expect(bootstrapTurnbull({ ...data, ...wanted, random: new Random(4) })).toEqual(first);
    expect(limits(bootstrapTurnbull({ ...data, ...wanted, random: new Random(5) })).survival).not.toEqual(
      first.survival,
    );
  });

  test("labels of clusters and order of rows within them do not matter", () => {
    const data = flock(12, 2);
    const first = bootstrapTurnbull({ ...data, ...wanted, random: new Random(4) });
    const renamed = { ...data, cluster: data.cluster.map((g) => 1000 - 3 * g) };
    expect(bootstrapTurnbull({ ...renamed, ...wanted, random: new Random(4) })).toEqual(first);
  });

  test("limits lie in order, hold the whole unknown stretch, and are missing beyond the last check", () => {
    const { survival, times, lastCheck, clusters } = limits(
      bootstrapTurnbull({ ...flock(40, 3), ...wanted, random: new Random(4) }),
    );
    expect(clusters).toBe(40);
    expect(lastCheck).toBe(98);
    expect(survival[3]).toEqual({ lo: null, hi: null });
    for (const { lo, hi } of survival.slice(0, 3)) expect(lo!).toBeLessThan(hi!);
    expect(times[1]!.lo! % 14).toBe(0);
    expect(times[1]!.hi! - times[1]!.lo!).toBeGreaterThanOrEqual(14);
    expect(times[0]!.lo!).toBeLessThanOrEqual(times[1]!.lo!);
    expect(times[2]!.hi).toBeNull();
  });

  test("resampling rows instead of animals is narrower when an animal repeats itself", () => {
    const data = flock(40, 3);
    const width = (cluster: number[]) => {
      const { survival } = limits(bootstrapTurnbull({ ...data, cluster, ...wanted, random: new Random(4) }));
      return survival[0]!.hi! - survival[0]!.lo!;
    };
    expect(width(data.cluster)).toBeGreaterThan(1.2 * width(data.cluster.map((_, i) => i)));
  });

  test("nobody ever seen over: no limits for times, and no crash", () => {
    const none = limits(
      bootstrapTurnbull({
        left: [20, 30, 40],
        right: [Infinity, Infinity, Infinity],
        cluster: [0, 1, 2],
        at: [10, 35],
        fractions: [0.5],
        samples: 50,
        random: new Random(1),
      }),
    );
    expect(none.survival[0]).toEqual({ lo: 1, hi: 1 });
    expect(none.times[0]!.hi).toBeNull();
  });

  test("too few clusters, wrong lengths", () => {
    const random = new Random(1);
    const row = { left: [1, 2], right: [3, 4], at: [2], fractions: [0.5], random };
    expect(bootstrapTurnbull({ ...row, cluster: [7, 7] })).toMatchObject({ trouble: "too_few_groups" });
    expect(bootstrapTurnbull({ ...row, cluster: [7] })).toMatchObject({ trouble: "invalid_input" });
    expect(bootstrapTurnbull({ ...row, left: [], right: [], cluster: [] })).toMatchObject({
      trouble: "no_rows",
    });
  });
});

function limits(result: ReturnType<typeof bootstrapTurnbull>): TurnbullLimits {
  expect(result).not.toHaveProperty("verdict");
  return result as TurnbullLimits;
}
