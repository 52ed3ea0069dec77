import { sheetLimits } from "./sheet-limits.ts";
import type { SheetTrouble, SheetTroubleCode } from "./text-table.ts";

/** Collects the troubles of one file; past the limit they are counted, not listed. */
export interface TroubleList {
  add(code: SheetTroubleCode, detail: string, place?: { worksheet?: string; row?: number }): void;
  listed(): readonly SheetTrouble[];
}

export function troublesOf(file: string): TroubleList {
  const troubles: SheetTrouble[] = [];
  let unlisted = 0;
  return {
    add(code, detail, place) {
      if (troubles.length >= sheetLimits.listedTroubles) {
        unlisted++;
        return;
      }
      troubles.push({ code, file, worksheet: place?.worksheet ?? null, row: place?.row ?? null, detail });
    },
    listed() {
      if (unlisted === 0) return troubles;
      return [
        ...troubles,
        { code: "more_troubles", file, worksheet: null, row: null, detail: String(unlisted) },
      ];
    },
  };
}
