import type { FlockOptions } from "../../src/demo/flock-options.ts";
import { type LamenessRow, lamenessTable } from "../../src/findings/lameness.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { type InventedBook, inventedBook } from "./invented-book.ts";
import { type CoverageRow, Tallies } from "./tally.ts";

/** One kind of flock whose lameness is told, and how many of it are invented. */
export interface LamenessPlan {
  readonly name: string;
  readonly flocks: number;
  readonly options: Omit<FlockOptions, "seed">;
}

const STEPS = new Set(["lameness"]);
/** Pairs of scores further apart say nothing of new cases, as in the finding. */
const LONGEST_GAP_DAYS = 120;

/** How often the limits of lameness hold the truth of this flock in these months. */
export async function lamenessCoverage(
  plan: LamenessPlan,
  seed: number,
  bounds: { readonly lo: number; readonly hi: number },
): Promise<CoverageRow[]> {
  const tallies = new Tallies();
  for (let k = 0; k < plan.flocks; k++) {
    const invented = await inventedBook({ ...plan.options, seed: seed + k }, { steps: STEPS });
    const rows = await readTable(invented.book, lamenessTable, "season = 'all'");
    noteLameness(tallies, plan.name, invented, rows);
    await invented.book.close();
  }
  return tallies.rows(() => bounds);
}

function noteLameness(
  tallies: Tallies,
  name: string,
  invented: InventedBook,
  rows: readonly LamenessRow[],
): void {
  const holds = (lo: number | null, hi: number | null, value: number): boolean =>
    lo !== null && hi !== null && lo <= value && value <= hi;
  const flock = rows.filter((row) => row.group_kind === "flock");
  const pens = rows.filter((row) => row.group_kind === "pen");
  const given = (of: readonly LamenessRow[], limit: "point_lo" | "lo" | "inc_lo"): LamenessRow[] =>
    of.filter((row) => row[limit] !== null);
  for (const [what, own] of [
    ["the flock", flock],
    ["a pen", pens],
  ] as const) {
    const truth = (row: LamenessRow): TrueLameness =>
      trueLameness(invented, row.group_kind === "pen" ? row.group_value : null);
    tallies.note(
      `${name}: lame on a day, ${what}`,
      given(own, "point_lo").map((row) => holds(row.point_lo, row.point_hi, truth(row).onDay)),
    );
    tallies.note(
      `${name}: ever lame, ${what}`,
      given(own, "lo").map((row) => holds(row.lo, row.hi, truth(row).ever)),
    );
    tallies.note(
      `${name}: new cases seen, ${what}`,
      given(own, "inc_lo").map((row) => holds(row.inc_lo, row.inc_hi, truth(row).newCases)),
    );
  }
}

interface TrueLameness {
  readonly onDay: number;
  readonly ever: number;
  /** Per 100 animal-months between the scores that were given. */
  readonly newCases: number;
}

/**
 * What the scores that were given would show on average over fresh draws of every score: given the true log odds they
 * are independent where no bout lasts (`persistenceDays` 0), so that every expectation is arithmetic.
 */
function trueLameness({ truth }: InventedBook, pen: string | null): TrueLameness {
  const byAnimal = new Map<number, { day: number; chance: number; counts: boolean }[]>();
  for (const { animal, day, pen: at, logOdds } of truth.scores) {
    const score = {
      day,
      chance: 1 / (1 + Math.exp(-logOdds)),
      counts: pen === null || truth.pens[at]!.name === pen,
    };
    const own = byAnimal.get(animal);
    if (own) own.push(score);
    else byAnimal.set(animal, [score]);
  }
  let [chances, scores, ever, animals, cases, days] = [0, 0, 0, 0, 0, 0];
  for (const own of byAnimal.values()) {
    const counted = own.filter(({ counts }) => counts);
    if (counted.length === 0) continue;
    animals++;
    ever += 1 - counted.reduce((sound, { chance }) => sound * (1 - chance), 1);
    scores += counted.length;
    chances += counted.reduce((sum, { chance }) => sum + chance, 0);
    own.forEach(({ day, chance, counts }, k) => {
      const before = own[k - 1];
      if (!counts || before === undefined || day - before.day > LONGEST_GAP_DAYS) return;
      cases += (1 - before.chance) * chance;
      days += (1 - before.chance) * (day - before.day);
    });
  }
  return { onDay: chances / scores, ever: ever / animals, newCases: (100 * 30 * cases) / days };
}
