/**
 * A table of the book, declared once: its grain, its columns with their units, and the identities that must
 * hold whenever it is filled. The schema, the row types, the data dictionary and the export are made from it.
 */
export interface TableColumn {
  readonly type: "text" | "integer" | "number" | "flag" | "day";
  readonly nullable: boolean;
  readonly meaning: string;
}

export type TableColumns = Readonly<Record<string, TableColumn>>;

export interface Identity {
  readonly says: string;
  /** SQL that is true for every row in which the identity holds (or cannot be asked). */
  readonly holds: string;
}

export interface TableDefinition<C extends TableColumns = TableColumns> {
  readonly schema: "results" | "exposure";
  readonly name: string;
  /** Columns that together name one row. */
  readonly grain: readonly string[];
  readonly columns: C;
  /** Tables that it is computed from. */
  readonly reads: readonly string[];
  readonly identities: readonly Identity[];
}

export function defineTable<const C extends TableColumns>(
  definition: TableDefinition<C>,
): TableDefinition<C> {
  return definition;
}

const column =
  <T extends TableColumn["type"]>(type: T) =>
  (meaning: string): { readonly type: T; readonly nullable: true; readonly meaning: string } => ({
    type,
    nullable: true,
    meaning,
  });

const always =
  <T extends TableColumn["type"]>(type: T) =>
  (meaning: string): { readonly type: T; readonly nullable: false; readonly meaning: string } => ({
    type,
    nullable: false,
    meaning,
  });

/** Column makers: `text` may be missing, `text.always` never is. Days are whole days since 1970-01-01. */
export const text = Object.assign(column("text"), { always: always("text") });
export const integer = Object.assign(column("integer"), { always: always("integer") });
export const number = Object.assign(column("number"), { always: always("number") });
export const flag = Object.assign(column("flag"), { always: always("flag") });
export const day = Object.assign(column("day"), { always: always("day") });

interface ValueOf {
  text: string;
  integer: number;
  number: number;
  flag: boolean;
  day: number;
}

type CellOf<C extends TableColumn> = C["nullable"] extends false
  ? ValueOf[C["type"]]
  : ValueOf[C["type"]] | null;

/** The row of a table as TypeScript sees it. */
export type RowOf<D> = D extends TableDefinition<infer C> ? { readonly [K in keyof C]: CellOf<C[K]> } : never;
