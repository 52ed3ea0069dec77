import { type Book, quoteText } from "../../book/book.ts";
import { code } from "../../records/codes.ts";
import { LEAST_DF } from "../arm-difference.ts";
import { readTable } from "../read-table.ts";
import { type StudyBasisRow, studyBasisTable } from "../study-basis.ts";
import { lameShare } from "./lame-study.ts";
import { type PlanFit, type PlanFitTrouble, readPlanFit } from "./plan-fit.ts";
import { leverBounds, type StudyDesign, studyDf, unitsOfArms, visitsBefore } from "./study-design.ts";
import {
  designEffect,
  drawStudies,
  formulaPower,
  type SimulatedPower,
  simulatedPower,
  smallestEffect,
} from "./study-power.ts";

/** Levers of next season's study; what is left out is as the flock is. */
export interface PlanRequest {
  readonly outcome: "growth" | "lame";
  readonly unit: "pen" | "animal";
  readonly pens: readonly number[] | null;
  readonly goats: readonly number[] | null;
  readonly months: readonly number[] | null;
  readonly visits: readonly number[] | null;
  readonly monthsBefore: number;
  /** mm per 30 days; for lameness the log of a ratio of odds. */
  readonly effects: readonly number[];
  readonly simulations: number;
  readonly seed: number;
}

export type PlanTrouble =
  | PlanFitTrouble
  | {
      readonly code: "lever_out_of_range";
      readonly lever: keyof typeof leverBounds | "simulations";
      readonly value: number;
      readonly least: number;
      readonly most: number;
    }
  | { readonly code: "too_many_designs"; readonly designs: number; readonly most: number }
  | { readonly code: "too_much_to_draw"; readonly simulations: number | null };

/** The smallest effect at this power is told beside every design. */
const WANTED_POWER = 0.8;

/** Power of one design at one effect. */
export interface PlanRow {
  readonly design: StudyDesign;
  readonly effect: number;
  /** Share of lame scores expected in the first arm; null for growth. */
  readonly lameShare: number | null;
  /** Missing where the arms have too few units for any interval. */
  readonly power: SimulatedPower | null;
  readonly formula: number | null;
  /** The formula over other variances that the records allow as well. */
  readonly formulaLo: number | null;
  readonly formulaHi: number | null;
  readonly designEffect: number;
  /** The smallest effect shown with a power of 80 %; null where none within reach is. */
  readonly smallest: number | null;
  readonly caution: string | null;
}

export interface StudyPlan {
  readonly rows: readonly PlanRow[];
  readonly fit: PlanFit;
  readonly basis: StudyBasisRow;
  /** Share of lame scores without any effect; null for growth. */
  readonly lameShare: number | null;
}

const MOST_DESIGNS = 60;
const SIMULATIONS = { least: 100, most: 20_000 };
/** Looks at a goat, over all designs and simulations, that are drawn in some tens of seconds. */
const MOST_LOOKS = 250_000_000;

/**
 * Power of studies that are laid out on this flock: simulated from the variances of its stored fits, each simulated
 * study told by the rule that tells a study which was done, the textbook's formula beside it.
 */
export async function planStudy(
  book: Book,
  flock: string,
  request: PlanRequest,
  progress: (done: number, all: number) => void = () => {},
): Promise<StudyPlan | readonly PlanTrouble[]> {
  const [basis] = (await isAnalysed(book))
    ? await readTable(book, studyBasisTable, `flock = ${quoteText(flock)}`)
    : [];
  if (basis === undefined) return [{ code: "not_analysed" }];
  const fit = await readPlanFit(book, flock, request.outcome, request.unit);
  if ("code" in fit) return [fit];
  const designs = designsOf(request, basis);
  const troubles = troublesOf(request, designs);
  if (troubles.length > 0) return troubles;
  const rows: PlanRow[] = [];
  designs.forEach((design, k) => {
    rows.push(...rowsOf(design, fit, request));
    progress(k + 1, designs.length);
  });
  return { rows, fit, basis, lameShare: fit.of.outcome === "lame" ? lameShare(fit.of.spread, 0) : null };
}

/** Every combination of the levers. */
function designsOf(request: PlanRequest, basis: StudyBasisRow): readonly StudyDesign[] {
  const { unit, monthsBefore } = request;
  const pens = request.pens ?? usualPens(unit, basis.pens);
  const goats = request.goats ?? [Math.max(1, Math.round(basis.goats_per_pen ?? 1))];
  const gap = request.outcome === "growth" ? basis.growth_gap_days : basis.score_gap_days;
  return pens.flatMap((penCount) =>
    goats.flatMap((goatsPerPen) =>
      (request.months ?? [USUAL_MONTHS]).flatMap((months) =>
        (request.visits ?? [Math.max(2, 1 + Math.round((30 * months) / (gap ?? 30)))]).map((visits) => ({
          unit,
          pens: penCount,
          goatsPerPen,
          months,
          visits,
          monthsBefore,
        })),
      ),
    ),
  );
}

const USUAL_MONTHS = 6;

/** The flock's own pens, half as many again and twice as many, in pairs and never under six; animals: its own. */
function usualPens(unit: "pen" | "animal", pens: number): readonly number[] {
  if (unit === "animal") return [Math.max(2, pens)];
  const own = Math.max(6, 2 * Math.round(pens / 2));
  return [own, 2 * Math.ceil((1.5 * own) / 2), 2 * own];
}

function troublesOf(request: PlanRequest, designs: readonly StudyDesign[]): readonly PlanTrouble[] {
  const outside = (
    lever: keyof typeof leverBounds | "simulations",
    values: readonly number[] | null,
    { least, most }: { readonly least: number; readonly most: number },
  ): PlanTrouble[] =>
    (values ?? [])
      .filter((value) => !(Number.isInteger(value) && value >= least && value <= most))
      .map((value) => ({ code: "lever_out_of_range", lever, value, least, most }));
  const troubles = [
    ...outside("pens", request.pens, leverBounds.pens),
    ...outside("goats", request.goats, leverBounds.goats),
    ...outside("months", request.months, leverBounds.months),
    ...outside("visits", request.visits, leverBounds.visits),
    ...outside("before", [request.monthsBefore], leverBounds.before),
    ...outside("simulations", [request.simulations], SIMULATIONS),
  ];
  if (troubles.length > 0) return troubles;
  if (designs.length * request.effects.length > MOST_DESIGNS) {
    return [
      { code: "too_many_designs", designs: designs.length * request.effects.length, most: MOST_DESIGNS },
    ];
  }
  const looks = designs.reduce(
    (sum, design) => sum + design.pens * design.goatsPerPen * (design.visits + visitsBefore(design)),
    0,
  );
  const possible = Math.floor(MOST_LOOKS / looks);
  if (possible >= request.simulations) return [];
  return [{ code: "too_much_to_draw", simulations: possible < SIMULATIONS.least ? null : possible }];
}

function rowsOf(design: StudyDesign, { of, alsoAllowed }: PlanFit, request: PlanRequest): PlanRow[] {
  const [, second] = unitsOfArms(design);
  const told = second >= 2 && studyDf(design) >= LEAST_DF;
  const studies = told ? drawStudies(design, of, request.simulations, request.seed) : [];
  const towards = request.effects.find((effect) => effect !== 0) ?? 1;
  const smallest = told ? smallestEffect(studies, of.outcome, towards, WANTED_POWER) : null;
  return request.effects.map((effect) => {
    const allowed = told ? alsoAllowed.map((one) => formulaPower(design, one, effect) ?? 0) : [];
    return {
      design,
      effect,
      lameShare: of.outcome === "lame" ? lameShare(of.spread, effect) : null,
      power: told ? simulatedPower(studies, effect) : null,
      formula: told ? (formulaPower(design, of, effect) ?? null) : null,
      formulaLo: allowed.length === 0 ? null : Math.min(...allowed),
      formulaHi: allowed.length === 0 ? null : Math.max(...allowed),
      designEffect: designEffect(design, of),
      smallest,
      caution: told ? null : whyNot(design, second),
    };
  });
}

/** Why a design's studies are not told: units, or what the pens' own levels leave of them. */
function whyNot(design: StudyDesign, units: number): string {
  return units < LEAST_DF
    ? code("too_few_units", units, LEAST_DF)
    : code("too_few_degrees", Math.max(0, studyDf(design)));
}

async function isAnalysed(book: Book): Promise<boolean> {
  const [found] = await book.rows<{ n: number }>(
    "SELECT CAST(count(*) AS INTEGER) AS n FROM duckdb_tables() WHERE schema_name = 'results' AND table_name = 'study_basis'",
  );
  return found!.n > 0;
}
