import type { FlockOptions } from "../../src/demo/flock-options.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { retrimSummaryTable } from "../../src/findings/retrim.ts";
import { isoDay } from "../../src/records/days.ts";
import { dayAfterStart, longestAfter, START } from "./claw-truth.ts";
import { type InventedBook, inventedBook } from "./invented-book.ts";
import { type CoverageRow, Tallies } from "./tally.ts";

/** One kind of flock whose trims are followed, and how many of it are invented. */
export interface RetrimPlan {
  readonly name: string;
  readonly flocks: number;
  readonly options: Omit<FlockOptions, "seed"> & { readonly days: number };
}

const STEPS = new Set(["variance", "trim_spell", "retrim_summary"]);
/** Days for which the truth goes on after the last record, so that the last spells end too. */
const RUN_ON_DAYS = 150;

/** How often the limits of the median time to retrim hold that of the flock's own trims. */
export async function retrimCoverage(
  plan: RetrimPlan,
  seed: number,
  bounds: { readonly lo: number; readonly hi: number },
): Promise<CoverageRow[]> {
  const tallies = new Tallies();
  for (let k = 0; k < plan.flocks; k++) {
    const until = dayAfterStart(plan.options.days);
    const options = {
      ...plan.options,
      start: START,
      days: plan.options.days + RUN_ON_DAYS,
      seed: seed + k,
    };
    const invented = await inventedBook(options, { steps: STEPS, until: isoDay(until) });
    const [row] = await readTable(invented.book, retrimSummaryTable, "group_kind = 'flock'");
    const median = await trueMedian(invented, until);
    const holds = (lo: number | null | undefined, hi: number | null | undefined): boolean[] =>
      lo == null || hi == null ? [] : [lo <= median && median <= hi];
    tallies.note(`${plan.name}: median time to retrim, best family`, holds(row?.lo, row?.hi));
    tallies.note(
      `${plan.name}: median time to retrim, Turnbull's curve`,
      holds(row?.turnbull_lo, row?.turnbull_hi),
    );
    await invented.book.close();
  }
  return tallies.rows(() => bounds);
}

/** Median day on which the longest claw truly passes the limit, over the trims that a later look followed. */
async function trueMedian({ truth, book }: InventedBook, until: number): Promise<number> {
  const [marks] = await book.rows<{ limit: number }>('SELECT retrim_at_mm AS "limit" FROM exposure.flock');
  const times: number[] = [];
  truth.visits.forEach((visits, animal) => {
    visits.forEach(({ day, before, after }, k) => {
      const next = visits[k + 1];
      const cut = after.some((length, claw) => length < before[claw]!);
      if (!cut || next === undefined || truth.calendar.first + next.day > until) return;
      if (longestAfter(truth, animal, k, 0) >= marks!.limit) return;
      times.push(passesOn(truth, animal, k, marks!.limit, truth.calendar.length - day));
    });
  });
  times.sort((a, b) => a - b);
  return (times[Math.floor((times.length - 1) / 2)]! + times[Math.ceil((times.length - 1) / 2)]!) / 2;
}

/** Days after a visit on which the limit is passed, to a tenth of a day; Infinity: not within the days that are known. */
function passesOn(
  truth: InventedBook["truth"],
  animal: number,
  visit: number,
  limit: number,
  known: number,
): number {
  for (let days = 1; days <= known; days++) {
    const longest = longestAfter(truth, animal, visit, days);
    if (longest < limit) continue;
    const before = longestAfter(truth, animal, visit, days - 1);
    return days - 1 + (limit - before) / (longest - before);
  }
  return Infinity;
}
