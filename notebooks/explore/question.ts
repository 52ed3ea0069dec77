import type { ColumnTable } from "arquero";
import type { Row } from "../book/table-rows.ts";

/** One question of the book: how it is asked, and how its answer is drawn. */
export interface Question {
  readonly asks: string;
  readonly sql: string;
  /** Columns worked out here from those of the answer. */
  readonly shape?: (answer: ColumnTable) => ColumnTable;
  /** The picture; null when the rows hold nothing to draw. */
  readonly draw: (rows: readonly Row[], width: number) => Element | null;
  /** What the figure shows and what its limits are. */
  readonly says: string;
  /** What is said when there is nothing. */
  readonly none: string;
}
