import { code } from "../records/codes.ts";
import type { ClawId, FootId } from "../records/feet.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";
import { footInWords } from "./foot-in-words.ts";

/**
 * Reads a cell that names one foot: `LF`, `left front`, `trasera derecha`. Refused with `unknown_foot` when
 * it names none, several, or anything beside a foot.
 */
export function readFoot(text: string): CellRead<FootId> {
  const feet = readFeet(text);
  if ("trouble" in feet) return feet;
  return feet.value.feet.length === 1 && feet.value.claw === null
    ? taken(feet.value.feet[0]!)
    : refused(code("unknown_foot"));
}

/** Reads a cell that names a foot and perhaps its claw (`LF inner`), or several feet (`LF + RH`, `all four`). */
export function readFeet(
  text: string,
): CellRead<{ readonly feet: readonly FootId[]; readonly claw: ClawId | null }> {
  const { feet, claw, rest } = footInWords(fold(text));
  const others = rest.filter((word) => word !== "and" && word !== "y");
  return feet.length === 0 || others.length > 0 ? refused(code("unknown_foot")) : taken({ feet, claw });
}
