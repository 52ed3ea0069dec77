import type { KindId } from "../records/kinds.ts";
import type { CellTrouble, RemarkFound, UnmappedWord } from "./reading.ts";

/** What the rows of a batch give beside their records; emptied between batches. */
export interface RowGatherings {
  troubles: CellTrouble[];
  remarks: RemarkFound[];
  unmapped: UnmappedWord[];
  read: Partial<Record<KindId, number>>;
}

export function nothingGathered(): RowGatherings {
  return { troubles: [], remarks: [], unmapped: [], read: {} };
}
