import type { KindId } from "../records/kinds.ts";

/** A cell as a keeper would have typed it; null is empty. Days are ISO text, flags `yes` and `no`. */
export type SheetCell = string | number | null;

/** One row of a sheet, by the names of the kind's columns. */
export type SheetRow = Readonly<Record<string, SheetCell>>;

/** The rows of every kind of sheet; empty where the flock keeps none. */
export type Sheets = Readonly<Record<KindId, readonly SheetRow[]>>;
