import type { QuantityId } from "./units.ts";

/** How the text of a cell is read. The readers hold one function per type. */
export type ColumnType =
  | "tag" // an animal's tag, kept as text, letter for letter
  | "tags" // several tags in one cell
  | "parents" // one tag, or candidate parents with optional shares
  | "name" // a name that groups rows (pen, line, scorer …): outer and doubled spaces dropped
  | "text" // free text, kept as it came
  | "day"
  | "born" // a day, month, year, about a year, or a range
  | "age" // an age on entry, in words or numbers with a unit
  | "flag"
  | "choice"
  | "number"
  | "integer"
  | "foot"
  | "claw"
  | "stage" // 1, 2 … or 1 of 3, or done
  | "lesions" // free text that names one lesion or several
  | "gait_scale";

/** What the keeper's own words of a column name. Without the sheets each is known by a study number only. */
export type Named =
  | "flock"
  | "animal"
  | "pen"
  | "site"
  | "person"
  | "product"
  | "feed"
  | "treatment"
  | "line"
  | "breed"
  | "arm";

export interface Bounds {
  readonly least: number;
  readonly most: number;
  /** Where the bound comes from; 'project default' when nothing published holds it. */
  readonly source: string;
}

export interface Words {
  readonly en: readonly string[];
  readonly es: readonly string[];
}

export interface Meaning {
  readonly en: string;
  readonly es: string;
}

export interface Column {
  readonly name: string;
  readonly type: ColumnType;
  readonly required?: true;
  /** For columns of type name: what the name is of. One without is left out where names may not show. */
  readonly names?: Named;
  readonly quantity?: QuantityId;
  readonly choices?: readonly Choice[];
  readonly bounds?: Bounds;
  /** What a header may call this column, besides its own name. */
  readonly headers: Words;
  readonly meaning: Meaning;
}

/** An allowed value and the words of the trade that mean it. */
export interface Choice {
  readonly value: string;
  readonly words: Words;
}

/** One kind of record: what a sheet of this kind holds, and the table of the book that keeps it. */
export interface Kind {
  readonly id: string;
  /** Table in schema `herd` that keeps these records. */
  readonly table: string;
  /** Columns that together name one record within a flock. */
  readonly grain: readonly string[];
  readonly columns: readonly Column[];
  readonly meaning: Meaning;
}
