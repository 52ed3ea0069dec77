import type { FlockTruth } from "./flock-truth.ts";
import { inventFlock } from "./invent-flock.ts";
import { type PlantedFault, plantFaults } from "./planted-faults.ts";
import { retag } from "./retag.ts";
import type { SheetRow, Sheets } from "./sheet-row.ts";

/** The flock that comes with the project: its sheets, what must be set aside from them, and the truth behind. */
export interface SampleFlock {
  readonly sheets: Sheets;
  /** The sheets before any slip was planted. */
  readonly clean: Sheets;
  readonly faults: readonly PlantedFault[];
  readonly truth: FlockTruth;
}

const SEED = 20240301;
const TRIAL_STARTS = "2025-03-01";
const NEW_TAGS_FROM = "2024-11-04";

/** Elm Hollow: 120 goats over two years, with the slips of any real notebook and one correction of them. */
export function sampleFlock(): SampleFlock {
  const { sheets, truth } = inventFlock({
    seed: SEED,
    goats: 120,
    days: 714,
    start: "2024-03-01",
    tagPrefix: "EH",
  });
  const worn = retag(sheets, { EH031: "K14", EH047: "K22" }, NEW_TAGS_FROM);
  const clean = { ...worn, trial: trialOf(worn) };
  const { sheets: faulty, faults } = plantFaults(clean, SEED);
  return { ...correctedLength(faulty, faults), clean, faults, truth };
}

/** Every second pen is spread with coarse sand at the gate; in truth it changes nothing. */
function trialOf(sheets: Sheets): SheetRow[] {
  return sheets.pens.map((pen, p) => ({
    pen: pen.pen,
    arm: p % 2 === 0 ? "sand at the gate" : "as before",
    from: TRIAL_STARTS,
    to: null,
  }));
}

/** One length with its decimal point out of place, and the line that corrects it. */
function correctedLength(sheets: Sheets, faults: readonly PlantedFault[]): { sheets: Sheets } {
  const faultyRows = new Set(faults.filter((fault) => fault.kind === "trims").map((fault) => fault.row));
  const at = sheets.trims.findIndex(
    (row, k) => k > 400 && !faultyRows.has(k + 2) && row.repeat === null && Number(row.toe_before_mm) > 30,
  );
  const right = Number(sheets.trims[at].toe_before_mm);
  const wrong = Number((right / 10).toFixed(3));
  const trims = sheets.trims.map((row, k) => (k === at ? { ...row, toe_before_mm: wrong } : row));
  const correction = {
    file: "trims.csv",
    sheet: null,
    row: at + 2,
    column: "toe_before_mm",
    was: String(wrong),
    now: String(right),
    why: "decimal point slipped",
    who: "Wren",
  };
  return { sheets: { ...sheets, trims, corrections: [...sheets.corrections, correction] } };
}
