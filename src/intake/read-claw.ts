import { code } from "../records/codes.ts";
import { type ClawId, clawWords } from "../records/feet.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";

/** Reads a cell that names a claw: `inner`, `out`, `medial`, `externo`, `I`. Else `unknown_claw`. */
export function readClaw(text: string): CellRead<ClawId> {
  const word = fold(text).replace(/ (claw|toe|digit|dedo|una)$|^(claw|toe|digit|dedo|una) /, "");
  const claw = claws.get(word);
  return claw === undefined ? refused(code("unknown_claw")) : taken(claw);
}

const claws = new Map<string, ClawId>([
  ...[...clawWords.inner, "i"].map((word) => [word, "inner"] as const),
  ...[...clawWords.outer, "o", "e"].map((word) => [word, "outer"] as const),
]);
