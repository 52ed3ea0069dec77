import { meaning, words } from "../columns.ts";
import type { Column, Kind } from "../kind.ts";

const text = (name: string, en: string, es: string, enHeaders: string, esHeaders: string): Column => ({
  name,
  type: "text",
  headers: words(enHeaders, esHeaders),
  meaning: meaning(en, es),
});

export const corrections: Kind = {
  id: "corrections",
  table: "correction",
  grain: ["file", "sheet", "row", "column"],
  meaning: meaning(
    "Cells of other sheets to be read as something else, and why",
    "Celdas de otras hojas que deben leerse de otro modo, y por qué",
  ),
  columns: [
    { ...text("file", "The file", "El archivo", "file name", "archivo"), required: true },
    text("sheet", "The worksheet", "La hoja", "worksheet,tab", "hoja"),
    {
      ...text(
        "row",
        "Row as the spreadsheet numbers it",
        "Fila como la numera la hoja",
        "row no,row number,line",
        "fila",
      ),
      type: "integer",
      required: true,
    },
    {
      ...text("column", "The column's header", "El encabezado de la columna", "column name", "columna"),
      required: true,
    },
    {
      ...text("was", "What the cell says", "Lo que dice la celda", "old,old value,before", "era,decía"),
      required: true,
    },
    {
      ...text(
        "now",
        "What it should say",
        "Lo que debe decir",
        "new,new value,should be",
        "ahora,debe decir",
      ),
      required: true,
    },
    { ...text("why", "Why", "Por qué", "reason", "motivo,por qué"), required: true },
    text("who", "Who says so", "Quién lo dice", "by", "quién"),
  ],
};
