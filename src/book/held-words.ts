import type { Column, Named } from "../records/kind.ts";
import { kindIds, kinds } from "../records/kinds.ts";

/**
 * What the text of a column holds: the program's own words, a name that a keeper gave, codes, a grade in figures or
 * plain words, what is left out where names may not show, a fixed text in its place, or a name of the kind that
 * another column of the row tells.
 */
export type Held =
  | "own"
  | "codes"
  | "grade"
  | "left_out"
  | "settings"
  | Named
  | { readonly instead: string }
  | { readonly toldBy: string };

/** Tables that may leave the house once their names are replaced; of all others not one row does. */
export function mayLeave(schema: string, table: string): boolean {
  if (schema === "intake") return ["ingest", "source", "record_sum", "set_aside", "remark"].includes(table);
  // other tags name the animal again
  return schema === "exposure" || schema === "results" || (schema === "herd" && table !== "tag");
}

/** What a text column holds. Throws on one that nobody has told of: a new column leaks nothing by being forgotten. */
export function heldBy(schema: string, table: string, column: string): Held {
  const special = specialColumns[`${schema}.${table}.${column}`];
  if (special !== undefined) return special;
  if (schema === "herd") {
    const kind = kindIds.map((id) => kinds[id]).find((one) => one.table === table);
    const defined = kind?.columns.find((one) => one.name === column);
    if (defined !== undefined) return heldBySheet(defined);
  }
  const held = derivedColumns[column];
  if (held === undefined)
    throw new Error(`${schema}.${table}.${column}: nobody has said what its text holds`);
  return held;
}

/** The kind of name in a column told by another: a group's value by its kind, a trait's by the trait. */
export const toldNames: Readonly<Record<string, Named | "own">> = {
  flock: "flock",
  animal: "animal",
  pen: "pen",
  line: "line",
  breed: "breed",
  arm: "arm",
  trimmer: "person",
  measurer: "person",
  scorer: "person",
  leave_out_pen: "pen",
  leave_out_flock: "flock",
  ground: "own",
  age_band: "own",
  class: "own",
  sex: "own",
  purpose: "own",
  origin: "own",
  foot: "own",
  claw: "own",
  ration: "own",
  basis: "own",
  random: "own",
  fit: "own",
};

/** Names of animals and pens hold within a flock; the same word in another flock is another one. */
export function isOfOneFlock(named: Named): boolean {
  return named === "animal" || named === "pen";
}

function heldBySheet({ type, names }: Column): Held {
  if (type === "tag" || type === "parents") return "animal";
  if (type === "name") return names ?? "left_out";
  return type === "tags" || type === "text" ? "left_out" : "own";
}

const specialColumns: Readonly<Record<string, Held>> = {
  "intake.source.file": { instead: "sheet" },
  "intake.source.worksheet": "left_out",
  "intake.source.kind": "own",
  "intake.source.layout": "own",
  // a digest of a known sheet would name it
  "intake.source.sha256": { instead: "" },
  "intake.source.understood": { instead: "{}" },
  "intake.record_sum.kind": "own",
  "intake.ingest.verb": "own",
  "intake.ingest.version": "own",
  "intake.ingest.taken_at": "own",
  "intake.set_aside.kind": "own",
  "intake.set_aside.column_name": "left_out",
  "intake.set_aside.value": "left_out",
  "intake.set_aside.advice": "codes",
  "intake.set_aside.loses": "own",
  "intake.remark.remark": { instead: "" },
  "intake.remark.would_be": { instead: "" },
  "herd.flock.name": "flock",
  "herd.flock.settings": "settings",
  "herd.claw_record.origin": "own",
  "herd.gait.origin": "own",
  "herd.lesion.origin": "own",
  "herd.lesion.lesion_text": "left_out",
  "herd.lesion.severity": "grade",
  "herd.parent.role": "own",
  "herd.same_animal.same_flock": "flock",
  "herd.same_animal.same_animal": "animal",
  "results.association.left_out": { toldBy: "check" },
  "results.flock_difference.left_out": { toldBy: "check" },
  "results.case.severity": "grade",
  "results.flock_profile.value": { toldBy: "trait" },
  "results.manifest.inputs": { instead: "[]" },
  "results.manifest.settings": "settings",
  "results.model_fit.level": { toldBy: "term" },
  "results.trial_effect.against": "arm",
};

/** Columns of worked-out tables by their name: one name means one thing in all of them but the special ones. */
const derivedColumns: Readonly<Record<string, Held>> = {
  flock: "flock",
  animal: "animal",
  parent: "animal",
  sire: "animal",
  dam: "animal",
  pen: "pen",
  site: "site",
  scorer: "person",
  scorer_a: "person",
  scorer_b: "person",
  measurer: "person",
  line: "line",
  arm: "arm",
  group_value: { toldBy: "group_kind" },
  example: "left_out",
  caution: "codes",
  reason: "codes",
  known: "codes",
  per: "codes",
  ...Object.fromEntries(
    [
      ...["adjusted_for", "advice", "against", "age_band", "animal_class", "basis", "calibrated", "check"],
      ...["check_name", "class", "claw", "code", "component", "copper_from", "crude_protein_from"],
      ...["effect_kind", "engine", "exposure", "foot", "gait_scale", "ground", "group_kind", "kind"],
      ...["language", "left_out", "lesion", "lesions", "level", "made_at", "measure", "method"],
      ...["mineral_copper_from", "model", "month", "nutrient", "outcome", "says", "season", "seconds"],
      ...["source", "step", "term", "trait", "unit", "urgency", "value_from", "verdict", "version"],
      ...["wetness_from", "worst_claw", "worst_foot"],
    ].map((name): [string, Held] => [name, "own"]),
  ),
};
