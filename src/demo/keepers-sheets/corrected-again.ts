import type { KindId } from "../../records/kinds.ts";
import type { PlantedFault } from "../planted-faults.ts";
import type { SheetRow, Sheets } from "../sheet-row.ts";

/**
 * The same flock's gait and kidding sheets, exported again after somebody went over them: the slips are put
 * right from the notebook, one row is gone and one is new.
 */
export function correctedAgain(
  clean: Sheets,
  faulty: Sheets,
  faults: readonly PlantedFault[],
): Readonly<Partial<Record<KindId, readonly SheetRow[]>>> {
  const corrected = (kind: "gaits" | "kiddings"): SheetRow[] => {
    const spoilt = new Set(faults.filter((fault) => fault.kind === kind).map((fault) => fault.row - 2));
    return faulty[kind].map((row, k) => (spoilt.has(k) ? clean[kind][k] : row));
  };
  const gaits = corrected("gaits");
  const gone = Math.floor(gaits.length / 2);
  const last = gaits[gaits.length - 1];
  const added = { ...gaits[gaits.length - 2], animal: last.animal, date: last.date, scorer: "Ilsa" };
  return {
    gaits: [...gaits.slice(0, gone), ...gaits.slice(gone + 1), added],
    kiddings: corrected("kiddings"),
  };
}
