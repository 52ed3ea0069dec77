import { animal, date, meaning, note, required, words } from "../columns.ts";
import type { Column, Kind } from "../kind.ts";

const kidCount = (name: string, en: string, es: string, enHeaders: string, esHeaders: string): Column => ({
  name,
  type: "integer",
  bounds: { least: 0, most: 8, source: "project default" },
  headers: words(enHeaders, esHeaders),
  meaning: meaning(en, es),
});

export const kiddings: Kind = {
  id: "kiddings",
  table: "kidding",
  grain: ["animal", "date"],
  meaning: meaning("One row for each kidding", "Una fila por cada parto"),
  columns: [
    { ...required(animal), headers: words("dam,doe,mother,tag,ear tag,animal id", "madre,cabra,arete") },
    {
      ...required(date),
      headers: words("kidding date,kidded,kidded on,birth date", "fecha,fecha de parto,parto"),
    },
    required(
      kidCount(
        "kids",
        "How many kids were born",
        "Cuántos cabritos nacieron",
        "kids born,litter,litter size,number born",
        "cabritos,crías,nacidos",
      ),
    ),
    kidCount(
      "alive",
      "How many were alive",
      "Cuántos vivos",
      "born alive,live,live kids",
      "vivos,nacidos vivos",
    ),
    {
      name: "dried_off",
      type: "day",
      headers: words("dry off,dried,dry date", "secado,fecha de secado"),
      meaning: meaning("The day she was dried off", "El día en que se secó"),
    },
    note,
  ],
};
