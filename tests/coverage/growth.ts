import type { FlockOptions } from "../../src/demo/flock-options.ts";
import { claws, hornGained } from "../../src/demo/invent-growth.ts";
import { growthAnimalTable } from "../../src/findings/growth-animal.ts";
import { growthSummaryTable } from "../../src/findings/growth-summary.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { type InventedBook, inventedBook } from "./invented-book.ts";
import { type CoverageRow, Tallies } from "./tally.ts";

/** One kind of flock whose growth is told, and how many of it are invented. */
export interface GrowthPlan {
  readonly name: string;
  readonly flocks: number;
  readonly options: Omit<FlockOptions, "seed">;
}

const STEPS = new Set(["growth_summary", "growth_animal"]);

/** How often the limits of growth hold the truth, for the flock, its pens and its animals. */
export async function growthCoverage(
  plan: GrowthPlan,
  seed: number,
  bounds: { readonly lo: number; readonly hi: number },
): Promise<CoverageRow[]> {
  const tallies = new Tallies();
  for (let k = 0; k < plan.flocks; k++) {
    const invented = await inventedBook({ ...plan.options, seed: seed + k }, { steps: STEPS });
    await noteGrowth(tallies, plan.name, invented);
    await invented.book.close();
  }
  return tallies.rows(() => bounds);
}

async function noteGrowth(tallies: Tallies, name: string, invented: InventedBook): Promise<void> {
  const { book, truth, place } = invented;
  const summary = await readTable(book, growthSummaryTable, "season = 'all'");
  const animals = await readTable(book, growthAnimalTable, "season = 'all'");
  const holds = (lo: number | null, hi: number | null, value: number): boolean =>
    lo !== null && hi !== null && lo <= value && value <= hi;
  const given = <Row extends { readonly lo: number | null }>(rows: readonly Row[]): Row[] =>
    rows.filter(({ lo }) => lo !== null);
  const ofKind = (kind: string) => given(summary.filter((row) => row.group_kind === kind));
  tallies.note(
    `${name}: growth of the flock`,
    ofKind("flock").map((row) => holds(row.lo, row.hi, measuredMean(invented, null))),
  );
  tallies.note(
    `${name}: growth of a pen`,
    ofKind("pen").map((row) => holds(row.lo, row.hi, measuredMean(invented, row.group_value))),
  );
  tallies.note(
    `${name}: growth of a foot`,
    ofKind("foot").map((row) => holds(row.lo, row.hi, measuredMean(invented, null, row.group_value))),
  );
  tallies.note(
    `${name}: growth of an animal, by the model`,
    animals
      .filter((row) => row.model_lo !== null)
      .map((row) => holds(row.model_lo, row.model_hi, truth.flockMixRates[place.get(row.animal)!]!)),
  );
  tallies.note(
    `${name}: growth of an animal, own records`,
    given(animals).map((row) => holds(row.lo, row.hi, ownMean(invented, row.animal))),
  );
}

/** An animal's true growth from its first to its last look, its eight claws alike, mm per 30 days. */
function ownMean({ truth, place }: InventedBook, animal: string): number {
  const i = place.get(animal)!;
  const visits = truth.visits[i]!;
  const [from, to] = [visits[0]!.day, visits.at(-1)!.day];
  return (30 * grown(truth, i, from, to, null)) / (to - from);
}

/** True mean growth over the measured days of all animals, or of those in one pen or one foot alone. */
function measuredMean({ truth }: InventedBook, pen: string | null, foot: string | null = null): number {
  let horn = 0;
  let days = 0;
  truth.visits.forEach((visits, i) => {
    for (let k = 0; k + 1 < visits.length; k++) {
      const from = visits[k]!.day;
      const to = visits[k + 1]!.day;
      if (pen !== null && truth.pens[penOn(truth, i, Math.floor((from + to) / 2))]?.name !== pen) continue;
      horn += grown(truth, i, from, to, foot);
      days += to - from;
    }
  });
  return (30 * horn) / days;
}

function grown(
  truth: InventedBook["truth"],
  animal: number,
  from: number,
  to: number,
  foot: string | null,
): number {
  const own = claws.flatMap((claw, k) =>
    foot === null || claw.foot === foot ? [truth.growth.clawEffects[animal * 8 + k]!] : [],
  );
  const claw = own.reduce((sum, effect) => sum + effect, 0) / own.length;
  return (
    hornGained(truth.plan, truth.growth, animal, truth.lives[animal]!, from, to) + (claw * (to - from)) / 30
  );
}

function penOn(truth: InventedBook["truth"], animal: number, day: number): number {
  return truth.lives[animal]!.segments.find(({ from, to }) => day >= from && day < to)?.pen ?? -1;
}
