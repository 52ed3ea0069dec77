import type { VNode } from "preact";
import type { Chart } from "./charts/chart.ts";

/** One question of a reader, answered: the answer as heading, its picture, what it rests on, its table. */
export interface Section {
  readonly id: string;
  /** The reader's question, in small type above. */
  readonly question: string;
  /** The answer, made from the numbers. */
  readonly heading: string;
  readonly text?: readonly (string | VNode)[];
  readonly chart?: Chart;
  /** '118 goats, 1,412 intervals, 6 pens' */
  readonly rests: string;
  readonly cautions?: readonly string[];
  readonly table?: DataTable;
  /** The sentence that stands in the short answer on top, with how strong its evidence is (higher first). */
  readonly answer?: { readonly sentence: string; readonly strength: number };
}

export interface DataTable {
  readonly caption: string;
  readonly columns: readonly { readonly name: string; readonly numeric: boolean }[];
  readonly rows: readonly (readonly string[])[];
}
