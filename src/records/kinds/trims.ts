import { animal, claw, date, foot, meaning, note, pen, required, words } from "../columns.ts";
import type { Column, Kind, Words } from "../kind.ts";

/**
 * Bounds of lengths. A trimmed adult goat's wall is about 30-45 mm (from memory, no source) and a neglected
 * slipper toe may pass 150 mm; the bounds only catch what no claw can be.
 */
const TOE_BOUNDS = { least: 5, most: 250, source: "project default: no claw is shorter or longer" };
const OVERHANG_BOUNDS = { least: -10, most: 150, source: "project default: no wall stands further" };

const millimetres = (
  name: string,
  bounds: Column["bounds"] & object,
  headers: Words,
  en: string,
  es: string,
): Column => ({
  name,
  type: "number",
  quantity: "length",
  bounds,
  headers,
  meaning: meaning(en, es),
});

export const trims: Kind = {
  id: "trims",
  table: "claw_record",
  grain: ["animal", "date", "foot", "claw", "measurer", "repeat"],
  meaning: meaning(
    "One row for each claw looked at or trimmed on a day",
    "Una fila por cada dedo revisado o recortado en un día",
  ),
  columns: [
    required(animal),
    required(date),
    foot,
    claw,
    millimetres(
      "toe_before_mm",
      TOE_BOUNDS,
      words(
        "toe before,toe length before,toe length,before,length before,toe,hoof length,length,before trim,before trimming,pre trim,pre trim length,length pre trim,wall length,dorsal wall length,claw length",
        "largo antes,punta antes,largo,largo de punta,longitud antes,antes,antes del recorte,largo antes del recorte,largo de pezuña,longitud de pezuña",
      ),
      "Toe length before the trim, hairline to tip",
      "Largo de la punta antes del recorte",
    ),
    millimetres(
      "toe_after_mm",
      TOE_BOUNDS,
      words(
        "toe after,toe length after,after,length after,after trim,after trimming,post trim,post trim length,length post trim",
        "largo después,punta después,longitud después,después,después del recorte,largo después del recorte",
      ),
      "Toe length after the trim",
      "Largo de la punta después del recorte",
    ),
    millimetres(
      "overhang_before_mm",
      OVERHANG_BOUNDS,
      words(
        "overhang before,overhang,wall over pad,over pad,overgrowth length",
        "saliente antes,saliente,sobresale",
      ),
      "How far the wall stands past the pad before the trim",
      "Cuánto sobresale la pared antes del recorte",
    ),
    millimetres(
      "overhang_after_mm",
      OVERHANG_BOUNDS,
      words("overhang after", "saliente después"),
      "How far the wall stands past the pad after the trim",
      "Cuánto sobresale la pared después del recorte",
    ),
    millimetres(
      "mark_mm",
      { least: 0, most: 150, source: "project default" },
      words("mark,scratch,hairline to mark,mark distance", "marca,distancia a la marca"),
      "Hairline to a scratch in the wall: the only true growth",
      "Del pelo a una marca en la pared: el único crecimiento verdadero",
    ),
    {
      name: "overgrowth",
      type: "integer",
      bounds: { least: 0, most: 3, source: "the project's scale of overgrowth, 0 to 3" },
      headers: words("overgrown,overgrowth score,overgrowth class", "sobrecrecimiento,crecida"),
      meaning: meaning(
        "0 level, 1 past 1/8 inch, 2 folding or clearly long, 3 folded under or curled",
        "0 a ras, 1 más de 1/8 de pulgada, 2 doblando o claramente larga, 3 doblada debajo o enroscada",
      ),
    },
    {
      name: "trimmed",
      type: "flag",
      headers: words("trim,cut,was trimmed,trimmed?", "recortado,recortada,recorte"),
      meaning: meaning("Whether it was trimmed that day", "Si se recortó ese día"),
    },
    {
      name: "bled",
      type: "flag",
      headers: words("bleeding,blood,bled?", "sangró,sangre,sangrado"),
      meaning: meaning("Whether it bled", "Si sangró"),
    },
    {
      name: "stage",
      type: "stage",
      headers: words("stages,trim stage,staged", "etapa,etapas"),
      meaning: meaning(
        "1, 2 … or 1 of 3 when taken down in stages; done for the last",
        "1, 2 … o 1 de 3 si se baja por etapas; done para la última",
      ),
    },
    {
      name: "trimmer",
      type: "name",
      names: "person",
      headers: words("trimmed by,who trimmed,hoof trimmer", "recortador,recortó"),
      meaning: meaning("Who trimmed", "Quién recortó"),
    },
    {
      name: "measurer",
      type: "name",
      names: "person",
      headers: words("measured by,who measured", "midió,medido por"),
      meaning: meaning("Who measured", "Quién midió"),
    },
    {
      name: "repeat",
      type: "integer",
      bounds: { least: 1, most: 20, source: "project default" },
      headers: words("rep,repeat no,replicate,reading", "repetición,lectura"),
      meaning: meaning("1, 2 … when one claw is measured more than once", "1, 2 … si se mide más de una vez"),
    },
    pen,
    note,
  ],
};
