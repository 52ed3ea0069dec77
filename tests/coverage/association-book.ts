import type { FlockOptions } from "../../src/demo/flock-options.ts";
import { type AssociationRow, associationTable } from "../../src/findings/association/association-tables.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { inventedBook } from "./invented-book.ts";
import { type CoverageRow, Tallies } from "./tally.ts";

/** One kind of flock whose sheets are read and analysed as a keeper's would be, and how many of it are invented. */
export interface AssociationBookPlan {
  readonly name: string;
  readonly flocks: number;
  readonly options: Omit<FlockOptions, "seed">;
}

const STEPS = new Set(["association"]);

interface Asked {
  readonly outcome: "growth" | "lame";
  readonly exposure: "crude_protein" | "copper_diet" | "wetness";
  /** The printed effect of one printed step of the exposure. */
  readonly truth: number;
}

/**
 * How often the limits of slopes within pens hold the effects that were planted, the whole way from sheets to results;
 * and with `effects: "none"` how many flocks claim anything.
 */
export async function associationBookCoverage(
  plan: AssociationBookPlan,
  seed: number,
  bounds: { readonly lo: number; readonly hi: number },
): Promise<CoverageRow[]> {
  const tallies = new Tallies();
  const anyClaim = `${plan.name}: no claim`;
  for (let k = 0; k < plan.flocks; k++) {
    const { book, truth } = await inventedBook({ ...plan.options, seed: seed + k }, { steps: STEPS });
    const rows = await readTable(book, associationTable, "level = 'within_pen' AND \"check\" = 'main'");
    await book.close();
    const { growth, lameness } = truth.plan;
    const asked: readonly Asked[] = [
      { outcome: "growth", exposure: "crude_protein", truth: growth.perProteinPct },
      { outcome: "growth", exposure: "wetness", truth: growth.perWetness },
      { outcome: "growth", exposure: "copper_diet", truth: 10 * growth.perCopperMgPerKg },
      { outcome: "lame", exposure: "crude_protein", truth: Math.exp(lameness.perProteinPct) },
      { outcome: "lame", exposure: "wetness", truth: Math.exp(lameness.perWetness) },
      { outcome: "lame", exposure: "copper_diet", truth: Math.exp(10 * lameness.perCopperMgPerKg) },
    ];
    for (const one of asked) {
      const own = rows.filter(
        ({ outcome, exposure, effect }) =>
          outcome === one.outcome && exposure === one.exposure && effect !== null,
      );
      tallies.note(
        `${plan.name}: ${one.outcome} by ${one.exposure}, within pens`,
        own.map((row) => holds(row, one.truth)),
      );
    }
    if (plan.options.effects === "none") tallies.note(anyClaim, [!rows.some(({ claim }) => claim)]);
  }
  return tallies.rows((what) => (what === anyClaim ? { lo: 0.92, hi: 1 } : bounds));
}

const holds = ({ lo, hi }: AssociationRow, truth: number): boolean =>
  lo !== null && hi !== null && lo <= truth && truth <= hi;
