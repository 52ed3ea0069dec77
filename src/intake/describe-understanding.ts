import { flock } from "../records/columns.ts";
import type { Column } from "../records/kind.ts";
import { kinds } from "../records/kinds.ts";
import type { InEveryLanguage, Language } from "../records/language.ts";
import type { ColumnUnderstanding, Sureness, TableUnderstanding } from "./reading.ts";

/** How one column of a sheet was understood, in words. */
export interface ColumnDescription {
  readonly header: string;
  /** `trims: toe_before_mm, LF inner`; what is not understood is kept and says so. */
  readonly meaning: string;
  /** What the column's values are, in the reader's language; empty for what is not understood. */
  readonly explained: string;
  /** The unit with where it was found, or the order of day and month; empty where neither matters. */
  readonly reads: string;
  readonly sample: string;
  readonly sure: string;
  /** A setting that would read more of the column; empty where there is none. */
  readonly offer: string;
}

/** One row a column, in the order of the sheet, for a table that a keeper checks before sheets are taken. */
export function describeUnderstanding(
  { columns }: TableUnderstanding,
  language: Language,
): readonly ColumnDescription[] {
  return columns
    .filter(({ header, sample, meaning }) => meaning !== null || header.trim() !== "" || sample !== "")
    .map((column) => ({
      header: column.header,
      meaning: meaningOf(column, language),
      explained: columnOfMeaning(column)?.meaning[language] ?? "",
      reads: readsAs(column, language),
      sample: column.sample,
      sure: column.sureness === null ? "" : sure[column.sureness][language],
      offer: column.blankBelow ? `fill_down = ["${column.meaning!.column}"]` : "",
    }));
}

const notUnderstood: InEveryLanguage = {
  en: "not understood, kept as it is",
  es: "no se entiende, se guarda tal cual",
};

const sure: Readonly<Record<Sureness, InEveryLanguage>> = {
  name: { en: "its own name", es: "su propio nombre" },
  settings: { en: "flock.toml says so", es: "lo dice flock.toml" },
  word: { en: "a known word", es: "una palabra conocida" },
  values: { en: "its values alone", es: "solo sus valores" },
};

const unitFrom: Readonly<Record<NonNullable<ColumnUnderstanding["unitFrom"]>, InEveryLanguage>> = {
  header: { en: "named above", es: "nombrada arriba" },
  cells: { en: "named in the cells", es: "nombrada en las celdas" },
  settings: { en: "from flock.toml", es: "de flock.toml" },
  size: { en: "by size", es: "por tamaño" },
};

const dayOrders: Readonly<Record<NonNullable<ColumnUnderstanding["dayOrder"]>, InEveryLanguage>> = {
  day_first: { en: "day first", es: "primero el día" },
  month_first: { en: "month first", es: "primero el mes" },
  year_first: { en: "year first, or the month by name", es: "primero el año, o el mes por su nombre" },
};

function meaningOf({ meaning }: ColumnUnderstanding, language: Language): string {
  if (meaning === null) return notUnderstood[language];
  const place = [meaning.foot, meaning.claw].filter((part) => part !== null).join(" ");
  return `${meaning.kind}: ${meaning.column}${place === "" ? "" : `, ${place}`}`;
}

function columnOfMeaning({ meaning }: ColumnUnderstanding): Column | null {
  if (meaning === null) return null;
  const columns: readonly Column[] = [...kinds[meaning.kind].columns, flock];
  return columns.find(({ name }) => name === meaning.column) ?? null;
}

function readsAs(column: ColumnUnderstanding, language: Language): string {
  const { unit, unitFrom: from, dayOrder, decimalMark } = column;
  const unitWords = unit === null ? "" : from === null ? unit : `${unit} (${unitFrom[from][language]})`;
  const order = dayOrder === null ? "" : dayOrders[dayOrder][language];
  const mark = decimalMark === "," ? "1,5" : "";
  return [unitWords, order, mark].filter((part) => part !== "").join(", ");
}
