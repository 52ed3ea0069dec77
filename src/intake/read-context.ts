import type { GroupTest } from "./group-words.ts";
import type { UnderstandContext } from "./understand-context.ts";

/** What is known while the records of one worksheet are read. */
export interface ReadContext extends UnderstandContext {
  readonly isGroup: GroupTest;
  /** A trims sheet without any column for a length: its rows are trim dates. */
  readonly withoutLengths: boolean;
  /** Days to add to a spreadsheet's day number: workbooks may count from 1904. */
  readonly serialShift: number;
}
