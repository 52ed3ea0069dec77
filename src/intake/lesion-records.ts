import { code } from "../records/codes.ts";
import type { Column } from "../records/kind.ts";
import { columnOf } from "../records/kinds.ts";
import { type CellRead, isBlank, isRefused } from "./cell-read.ts";
import type { KindSink } from "./kind-sink.ts";
import type { LesionWords } from "./lesion-words.ts";
import { type LesionFound, readLesions } from "./read-lesions.ts";
import { remembering } from "./remembering.ts";

/** One record of the several that a lesion cell may give. */
export interface LesionRecord {
  readonly found: LesionFound;
  /** The foot that the text names; null when it names none and the row must. */
  readonly foot: string | null;
}

/** A reader of lesion cells: one record for each finding and foot that the text names. */
export function lesionCellReader(words: LesionWords): (text: string) => CellRead<readonly LesionRecord[]> {
  return remembering((text) => {
    const read = readLesions(text, words);
    if (isRefused(read)) return read;
    return {
      value: read.value.flatMap((found): LesionRecord[] =>
        found.feet.length === 0 ? [{ found, foot: null }] : found.feet.map((foot) => ({ found, foot })),
      ),
    };
  });
}

/**
 * Puts a finding beside the other cells of its row, already in the sink's open place; the code of why it
 * cannot stand there, else null. Foot and claw of the text fill empty ones and never override the row's.
 */
export function lesionStorer(sink: KindSink): (record: LesionRecord) => string | null {
  const of = (name: string): Column => columnOf("lesions", name);
  const lesion = sink.column(of("lesion"));
  const foot = sink.column(of("foot"));
  const claw = sink.column(of("claw"));
  const severity = sink.column(of("severity"));
  const text = sink.extra("lesion_text", "text");
  const suspected = sink.extra("suspected", "flag");
  return ({ found, foot: named }) => {
    const at = sink.size;
    const ofRow = foot.get(at);
    if (named !== null && ofRow !== null && ofRow !== named) return code("foot_disagrees", String(ofRow));
    if (named !== null) foot.store(at, [named]);
    if (found.claw !== null && claw.get(at) === null) claw.store(at, [found.claw]);
    if (found.degree !== null && severity.get(at) === null) severity.store(at, [found.degree]);
    lesion.store(at, [found.lesion]);
    text.store(at, [found.text]);
    suspected.store(at, [found.suspected]);
    return null;
  };
}

/** Whether any of some cells of a row is filled. */
export function anyFilled(cells: readonly string[], positions: readonly number[]): boolean {
  for (const at of positions) if (!isBlank(cells[at] ?? "")) return true;
  return false;
}
