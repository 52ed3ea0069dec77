import { code } from "../records/codes.ts";
import { type ClawId, type FootId, footIds } from "../records/feet.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";
import { footInWords } from "./foot-in-words.ts";

export interface PlaceNamed {
  readonly foot: FootId;
  /** The claw, where the cell names it too (`LF inner`). */
  readonly claw: ClawId | null;
}

/**
 * Reads a cell that names one foot and perhaps its claw: `LF`, `left front`, `trasera derecha`, `RH outer`.
 * Refused with `unknown_foot` when it names none, several, or anything beside them.
 */
export function readFoot(text: string): CellRead<PlaceNamed> {
  const { feet, claw, rest } = footInWords(fold(text));
  return feet.length === 1 && rest.length === 0
    ? taken({ foot: feet[0]!, claw })
    : refused(code("unknown_foot"));
}

/** Whether a cell names all four feet, so that its row speaks of the whole animal: `all four`, `todas`. */
export function namesAllFeet(text: string): boolean {
  const { feet, rest } = footInWords(fold(text));
  return feet.length === footIds.length && rest.length === 0;
}
