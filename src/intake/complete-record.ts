import { code } from "../records/codes.ts";
import { type GaitScaleId, gaitScales } from "../records/gait-scales.ts";
import { columnOf } from "../records/kinds.ts";
import type { Settings } from "../records/settings.ts";
import { groupMark } from "./group-words.ts";
import type { KindSink } from "./kind-sink.ts";
import { lengthColumns } from "./kind-traits.ts";
import type { PlannedRecord } from "./record-plan.ts";

/** Why a record whose cells could all be read cannot be taken after all: the column at fault and a code. */
export interface Implied {
  readonly column: string;
  readonly reason: string;
}

/**
 * A function that fills in what the record in its sink's open place implies: trimmed where an after length
 * is given or the sheet has no lengths, the scale of a gait score, both withdrawals where one date stands
 * for both. It returns why the record cannot be taken, or null.
 */
export function completer(
  { kind, sink, scale }: PlannedRecord,
  settings: Settings,
  withoutLengths: boolean,
): () => Implied | null {
  if (kind === "trims") return trimCompleter(sink, settings.expand_groups, withoutLengths);
  if (kind === "gaits") return gaitCompleter(sink, scale ?? settings.gait_scale ?? null);
  if (kind === "rounds") return roundCompleter(sink, settings.gait_scale ?? null);
  if (kind === "treatments") return treatmentCompleter(sink);
  return () => null;
}

/** What a row for a whole group cannot say of each of its animals. */
const groupMeasures = [...lengthColumns, "overgrowth", "bled"];

function trimCompleter(sink: KindSink, expands: boolean, withoutLengths: boolean): () => Implied | null {
  const trimmed = sink.column(columnOf("trims", "trimmed"));
  const after = ["toe_after_mm", "overhang_after_mm"].flatMap((name) => sink.find(name) ?? []);
  const measures = groupMeasures.flatMap((name) => sink.find(name) ?? []);
  const animal = sink.column(columnOf("trims", "animal"));
  const origin = expands ? sink.extra("origin", "text") : null;
  const note = sink.find("note");
  return () => {
    const at = sink.size;
    if (withoutLengths && trimmed.get(at) === null && deniesTrim.test(String(note?.get(at) ?? ""))) {
      return { column: "note", reason: code("remark_alone") };
    }
    if (trimmed.get(at) === null && (withoutLengths || after.some((length) => length.get(at) !== null))) {
      trimmed.store(at, yes);
    }
    if (origin === null || !String(animal.get(at)).startsWith(groupMark)) return null;
    if (measures.some((measure) => measure.get(at) !== null)) {
      return { column: "animal", reason: code("group_of_animals", "?") };
    }
    origin.store(at, fromGroup);
    return null;
  };
}

/** A remark that says no trim was done: its row is no trim date, though it is no measured 'no' either. */
const deniesTrim =
  /\b(?:not|no|never|without|sin|didn't|did not|wasn't)\b[^,.;]{0,12}\b(?:trim|trimm(?:ed|ing)|cut|done|recort\p{L}*)|\b(?:skipped|not today|next time|escaped)\b/iu;

const yes = [true] as const;
const fromGroup = ["group"] as const;

function gaitCompleter(sink: KindSink, ofSheet: string | null): () => Implied | null {
  const gait = sink.column(columnOf("gaits", "gait"));
  const scales = sink.column(columnOf("gaits", "gait_scale"));
  return () => {
    const at = sink.size;
    const scale = (scales.get(at) ?? ofSheet) as GaitScaleId | null;
    if (scale === null) return { column: "gait", reason: code("scale_not_known") };
    const score = gait.get(at) as number;
    const { least, most } = gaitScales[scale];
    if (score < least || score > most) return { column: "gait", reason: code("off_the_scale", scale) };
    scales.store(at, [scale]);
    return null;
  };
}

function roundCompleter(sink: KindSink, ofFlock: string | null): () => Implied | null {
  const scales = sink.column(columnOf("rounds", "gait_scale"));
  return () => {
    if (scales.get(sink.size) === null) scales.store(sink.size, [ofFlock]);
    return null;
  };
}

function treatmentCompleter(sink: KindSink): () => Implied | null {
  const both = sink.find("withdrawal_until");
  if (both === null) return () => null;
  const each = ["withdrawal_milk_until", "withdrawal_meat_until"].map((name) =>
    sink.column(columnOf("treatments", name)),
  );
  return () => {
    const at = sink.size;
    const day = both.get(at);
    if (day !== null) for (const one of each) if (one.get(at) === null) one.store(at, [day]);
    return null;
  };
}
