import { animal, from, meaning, pen, required, to } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const stays: Kind = {
  id: "stays",
  table: "stay",
  grain: ["animal", "from"],
  meaning: meaning(
    "Which pen an animal lived in, from when to when",
    "En qué corral vivió un animal, desde cuándo hasta cuándo",
  ),
  columns: [required(animal), required(pen), required(from), to],
};
