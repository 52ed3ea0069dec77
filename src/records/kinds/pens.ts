import { choice, from, meaning, pen, required, site, to, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const pens: Kind = {
  id: "pens",
  table: "pen",
  grain: ["pen", "from"],
  meaning: meaning(
    "One row for each pen: what the goats stand on",
    "Una fila por corral: sobre qué pisan las cabras",
  ),
  columns: [
    required(pen),
    {
      name: "ground",
      type: "choice",
      choices: [
        choice(
          "rocky range",
          "rock,rocky,stony,range,rocks,rocky ground",
          "pedregal,rocoso,agostadero,piedra",
        ),
        choice("pasture", "grass,field,meadow,paddock", "pasto,pastizal,pradera"),
        choice("dry lot", "drylot,dirt,gravel,earth,sand", "corral seco,tierra,grava"),
        choice("wood", "slats,slatted wood,boards,wooden", "madera,tablas"),
        choice("concrete", "cement", "concreto,cemento,hormigón"),
        choice("bedded barn", "bedding,deep litter,straw,barn,bedded", "cama,paja,establo con cama"),
        choice("other", "", "otro"),
      ],
      headers: words("ground type,footing,floor,surface,soil", "suelo,piso,superficie,terreno"),
      meaning: meaning("What the pen's ground is", "De qué es el suelo del corral"),
    },
    {
      name: "area_m2",
      type: "number",
      quantity: "area",
      bounds: { least: 0.5, most: 100_000_000, source: "project default" },
      headers: words("area,size,space", "área,superficie m2,tamaño"),
      meaning: meaning("Area, m²", "Área, m²"),
    },
    {
      name: "sheep_too",
      type: "flag",
      headers: words("sheep,with sheep,sheep too,sheep share", "ovejas,con ovejas,borregos"),
      meaning: meaning(
        "Whether sheep share the pen or its feed",
        "Si hay ovejas en el corral o en su comida",
      ),
    },
    from,
    to,
    site,
  ],
};
