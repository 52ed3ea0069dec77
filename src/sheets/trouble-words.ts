import type { InEveryLanguage, Language } from "../records/language.ts";
import type { SheetTrouble, SheetTroubleCode, TableNote, TableNoteCode, TextTable } from "./text-table.ts";

/** A trouble in words: where it sits, what is wrong, and what to do. */
export function sheetTroubleText(trouble: SheetTrouble, language: Language): string {
  const text = troubleWords[trouble.code][language].replaceAll("%", trouble.detail);
  return `${placeText(trouble.file, trouble.worksheet, trouble.row, language)}: ${text}`;
}

/** A note on a table in words: where it was first seen, how often, and what it means. */
export function tableNoteText(
  table: Pick<TextTable, "file" | "worksheet">,
  note: TableNote,
  language: Language,
): string {
  const text = noteWords[note.code][language].replaceAll("%", note.detail);
  const column = note.column === null ? "" : `, ${placeWords.column[language]} ${note.column}`;
  const times = note.count > 1 ? ` (${note.count}×)` : "";
  return `${placeText(table.file, table.worksheet, note.row, language)}${column}: ${text}${times}`;
}

function placeText(file: string, worksheet: string | null, row: number | null, language: Language): string {
  const sheet = worksheet === null ? "" : `, ${placeWords.worksheet[language]} “${worksheet}”`;
  return `${file}${sheet}${row === null ? "" : `, ${placeWords.row[language]} ${row}`}`;
}

const placeWords = {
  worksheet: { en: "worksheet", es: "hoja" },
  row: { en: "row", es: "fila" },
  column: { en: "column", es: "columna" },
} satisfies Record<string, InEveryLanguage>;

/** `%` stands for the trouble's detail. */
const troubleWords: Record<SheetTroubleCode, InEveryLanguage> = {
  unreadable_file: {
    en: "the file is damaged or written in a way that is not read (%); export it again",
    es: "el archivo está dañado o escrito de un modo que no se lee (%); expórtelo de nuevo",
  },
  not_a_sheet: {
    en: "this is no sheet (%); give a CSV, XLSX or JSON file",
    es: "esto no es una hoja (%); use un archivo CSV, XLSX o JSON",
  },
  empty_file: { en: "the file holds no text", es: "el archivo no contiene texto" },
  encrypted_workbook: {
    en: "the workbook is locked with a password; save a copy without one",
    es: "el libro está protegido con contraseña; guarde una copia sin ella",
  },
  too_large_when_unpacked: {
    en: "it unpacks to more than is read (%); split it, or save it as CSV",
    es: "descomprimido pasa de lo que se lee (%); divídalo o guárdelo como CSV",
  },
  broken_workbook: {
    en: "the workbook is damaged here and was not read (%); open it in a spreadsheet and save it again",
    es: "el libro está dañado aquí y no se ha leído (%); ábralo en una hoja de cálculo y guárdelo de nuevo",
  },
  too_many_cells: {
    en: "more than % cells; save it as CSV, which has no such limit",
    es: "más de % celdas; guárdelo como CSV, que no tiene ese límite",
  },
  unclosed_quote: {
    en: "a quote opens here and is never closed; the rest of the line was read without it: look at the line",
    es: "aquí se abre una comilla que no se cierra; el resto de la línea se leyó sin ella: revise la línea",
  },
  row_too_long: {
    en: "the row is longer than % characters and was left out",
    es: "la fila pasa de % caracteres y se dejó fuera",
  },
  row_too_wide: {
    en: "the row has more than % cells and was left out",
    es: "la fila tiene más de % celdas y se dejó fuera",
  },
  file_too_large: {
    en: "a JSON document of more than % bytes is not read; write one object a line instead",
    es: "no se lee un documento JSON de más de % bytes; escriba un objeto por línea",
  },
  old_binary_workbook: {
    en: "binary workbooks are not read; save it as XLSX or CSV",
    es: "los libros binarios no se leen; guárdelo como XLSX o CSV",
  },
  open_document_workbook: {
    en: "OpenDocument workbooks are not read; save it as XLSX or CSV",
    es: "los libros OpenDocument no se leen; guárdelo como XLSX o CSV",
  },
  broken_json: {
    en: "the JSON is malformed here (%) and was left out; export it again",
    es: "el JSON está mal formado aquí (%) y se dejó fuera; expórtelo de nuevo",
  },
  nested_values: {
    en: "“%” holds lists or objects that make no cell and was not read; export it as a sheet of its own",
    es: "«%» contiene listas u objetos que no forman celda y no se ha leído; expórtelo como hoja aparte",
  },
  json_too_deep: {
    en: "the JSON nests deeper than % levels and was not read",
    es: "el JSON anida más de % niveles y no se ha leído",
  },
  more_troubles: {
    en: "% more troubles in this file are not listed",
    es: "no se listan otros % problemas de este archivo",
  },
};

/** `%` stands for the note's detail. */
const noteWords: Record<TableNoteCode, InEveryLanguage> = {
  merged_cells: {
    en: "merged cells (first %); their value counts for the top-left cell only",
    es: "celdas combinadas (primera %); su valor cuenta solo para la celda superior izquierda",
  },
  covered_values: {
    en: "values hidden under merged cells were left out",
    es: "se dejaron fuera valores ocultos bajo celdas combinadas",
  },
  formula_without_value: {
    en: "a formula without a stored result reads empty; open the workbook in a spreadsheet and save it",
    es: "una fórmula sin resultado guardado se lee vacía; abra el libro en una hoja de cálculo y guárdelo",
  },
  digits_lost: {
    en: "a spreadsheet has cut digits off a long number (%); type the column as text in the original",
    es: "una hoja de cálculo ha recortado cifras de un número largo (%); use texto en la columna original",
  },
  dates_from_1904: {
    en: "the workbook counts its days from 1904; they were read so",
    es: "el libro cuenta los días desde 1904; así se leyeron",
  },
  date_out_of_range: {
    en: "a date format stands on a number that is no day (%)",
    es: "hay formato de fecha en un número que no es un día (%)",
  },
  hidden_rows: {
    en: "hidden rows were read like any other",
    es: "las filas ocultas se leyeron como las demás",
  },
  hidden_columns: {
    en: "hidden columns were read like any other",
    es: "las columnas ocultas se leyeron como las demás",
  },
  number_format_words: {
    en: "the number format writes “%” beside the number; the cell itself holds the number alone",
    es: "el formato de número escribe «%» junto al número; la celda contiene solo el número",
  },
  nul_characters_removed: { en: "zero bytes were taken out", es: "se quitaron bytes nulos" },
  mixed_encoding: {
    en: "some bytes are no UTF-8 and were read as Windows-1252; look at accents",
    es: "algunos bytes no son UTF-8 y se leyeron como Windows-1252; revise los acentos",
  },
  stray_quotes: {
    en: "a quoted cell holds a quote that is not doubled; where the cell ends is a guess",
    es: "una celda entre comillas contiene una comilla sin duplicar; su final es una suposición",
  },
  separator_line: {
    en: "the first line names the delimiter and is not counted as a row",
    es: "la primera línea indica el delimitador y no cuenta como fila",
  },
  other_members: {
    en: "“%” stands beside the rows in the JSON and is in no table",
    es: "«%» está junto a las filas en el JSON y no figura en ninguna tabla",
  },
  repeated_key: {
    en: "one object names “%” twice; the last value counts",
    es: "un objeto nombra «%» dos veces; cuenta el último valor",
  },
};
