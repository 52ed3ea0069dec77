import {
  animal,
  date,
  foot,
  gait,
  gaitScale,
  meaning,
  note,
  pen,
  required,
  scorer,
  words,
} from "../columns.ts";
import type { Kind } from "../kind.ts";

export const gaits: Kind = {
  id: "gaits",
  table: "gait",
  grain: ["animal", "date", "foot", "scorer"],
  meaning: meaning(
    "One row for each gait score of an animal",
    "Una fila por cada calificación de la marcha de un animal",
  ),
  columns: [
    required(animal),
    required(date),
    required(gait),
    gaitScale,
    foot,
    scorer,
    {
      name: "for_cause",
      type: "flag",
      headers: words("for cause,because lame,called out", "por causa,por cojera"),
      meaning: meaning("Whether it was scored because it limped", "Si se calificó porque cojeaba"),
    },
    pen,
    note,
  ],
};
