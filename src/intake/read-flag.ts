import { code } from "../records/codes.ts";
import { flagWords } from "../records/flag-words.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";

/** Reads yes or no in the words and marks of sheets: `Y`, `x`, `sí`, `ja`, `1`, `✓`. Else `not_yes_or_no`. */
export function readFlag(text: string): CellRead<boolean> {
  const mark = text.trim();
  const word = fold(mark);
  if (yes.has(mark) || yes.has(word)) return taken(true);
  if (no.has(mark) || no.has(word)) return taken(false);
  return refused(code("not_yes_or_no"));
}

const yes = new Set<string>(flagWords.yes);
const no = new Set<string>(flagWords.no);
