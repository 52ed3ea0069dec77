import { date, gaitScale, meaning, note, pen, required, scorer, words } from "../columns.ts";
import type { Column, Kind } from "../kind.ts";

const count = (name: string, en: string, es: string, enHeaders: string, esHeaders: string): Column => ({
  name,
  type: "integer",
  bounds: { least: 0, most: 100_000, source: "project default" },
  headers: words(enHeaders, esHeaders),
  meaning: meaning(en, es),
});

export const rounds: Kind = {
  id: "rounds",
  table: "round",
  grain: ["date", "pen", "scorer"],
  meaning: meaning(
    "One row for each walk through a pen that counted lame goats",
    "Una fila por cada recorrido que contó cabras cojas",
  ),
  columns: [
    required(date),
    pen,
    scorer,
    gaitScale,
    count(
      "looked_at",
      "How many were looked at",
      "Cuántas se revisaron",
      "seen,checked,looked at,number seen,examined",
      "revisadas,vistas",
    ),
    count(
      "lame",
      "How many were lame",
      "Cuántas cojeaban",
      "lame count,number lame,limping",
      "cojas,cojeando",
    ),
    count(
      "severely_lame",
      "How many were severely lame",
      "Cuántas cojeaban mucho",
      "severe,severely lame,very lame",
      "muy cojas,graves",
    ),
    {
      name: "others_sound",
      type: "flag",
      headers: words(
        "others sound,other sound,rest sound,all others sound,all other sound,everyone else sound,everybody else sound,others ok,rest ok,others walked sound,rest walked sound,others not lame",
        "demás sanas,las demás sanas,otras sanas,resto sano,resto sanas,resto bien,demás bien",
      ),
      meaning: meaning(
        "Yes when every goat not named walked sound",
        "Sí cuando las no nombradas caminaban bien",
      ),
    },
    note,
  ],
};
