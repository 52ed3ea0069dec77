import { code } from "../records/codes.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";

/**
 * Reads the stage of a trim taken down in steps: `2`, `1 of 3`, `2/3`, `done`. Kept as `2`, `1 of 3`,
 * `done`. Refused with `not_a_stage`, also when it is past the last.
 */
export function readStage(text: string): CellRead<string> {
  const words = fold(text).replace(/^(stage|step|etapa|paso) /, "");
  if (last.has(words)) return taken("done");
  const match = /^(\d{1,2})(?: (?:of |de |out of )?(\d{1,2}))?$/.exec(words);
  if (match === null) return refused(code("not_a_stage"));
  const at = Number(match[1]);
  if (match[2] === undefined) return at >= 1 ? taken(String(at)) : refused(code("not_a_stage"));
  const of = Number(match[2]);
  return at >= 1 && at <= of ? taken(`${at} of ${of}`) : refused(code("not_a_stage"));
}

const last = new Set([
  "done",
  "last",
  "final",
  "finished",
  "complete",
  "hecho",
  "terminado",
  "terminada",
  "ultima",
  "fin",
]);
