import type { Chart } from "./charts/chart.ts";
import { withSharedScales } from "./charts/shared-scales.ts";
import type { SeasonPageInput } from "./season-page-input.ts";

/** One question of a reader, answered: the answer as heading, its picture, what it rests on, its table. */
export interface Section {
  readonly id: string;
  /** The reader's question, in small type above. */
  readonly question: string;
  /** The answer, made from the numbers. */
  readonly heading: string;
  readonly text?: readonly string[];
  readonly chart?: Chart;
  /** Small pictures of one kind, side by side where there is room. */
  readonly small?: readonly Chart[];
  /** '118 goats, 1,412 intervals, 6 pens' */
  readonly rests: string;
  readonly cautions?: readonly string[];
  /** Folded below a picture, else shown. */
  readonly table?: DataTable;
  /** Rows that few will want: always folded. */
  readonly rest?: { readonly summary: string; readonly table: DataTable };
  /** Text to be taken over into a report as it stands. */
  readonly paste?: readonly string[];
  /** The sentence that stands in the short answer on top, with how strong its evidence is (higher first). */
  readonly answer?: { readonly sentence: string; readonly strength: number };
}

/** The sections of a page with their charts, those of one measure on one scale. */
export function onSharedScales(sections: readonly Section[]): readonly Section[] {
  const drawn = withSharedScales(sections.flatMap(chartsOf));
  let next = 0;
  return sections.map((section) => {
    const own = drawn.slice(next, next + chartsOf(section).length);
    next += own.length;
    return {
      ...section,
      ...(section.chart ? { chart: own[0]! } : section.small ? { small: own } : {}),
    };
  });
}

/** The charts of a section: one, or several small ones. */
export function chartsOf({ chart, small }: Section): readonly Chart[] {
  return chart ? [chart] : (small ?? []);
}

export interface Link {
  readonly text: string;
  readonly href: string;
}

/** What a cell shows: text, a link, several links, or a small picture. */
export type Cell = string | Link | { readonly links: readonly Link[] } | { readonly svg: string };

export interface DataTable {
  readonly caption: string;
  readonly columns: readonly { readonly name: string; readonly kind: "words" | "short" | "number" }[];
  readonly rows: readonly (readonly Cell[])[];
}

/** A column of words, of short words that stand on one line, and of numbers. */
export const wordsColumn = (name: string): DataTable["columns"][number] => ({ name, kind: "words" });
export const shortColumn = (name: string): DataTable["columns"][number] => ({ name, kind: "short" });
export const numberColumn = (name: string): DataTable["columns"][number] => ({ name, kind: "number" });

/** Answers one question from a season's findings; null where the season does not raise it. */
export type SectionMaker = (input: SeasonPageInput) => Section | null;
