import { quoteText } from "../../src/book/book.ts";
import type { OpenBook } from "../book/open-book.ts";
import { type Reader, readerOf } from "./reader.ts";

export const topics = ["growth", "lameness", "retrim", "conditions", "lines"] as const;
export type Topic = (typeof topics)[number];

/** What can be asked of a book: the values that its tables hold. */
export interface Offer {
  /** How each flock is told of. */
  readonly readers: ReadonlyMap<string, Reader>;
  readonly seasons: readonly string[];
  readonly pens: readonly string[];
  readonly lines: readonly string[];
  readonly groups: readonly string[];
  readonly exposures: readonly string[];
  readonly outcomes: readonly string[];
  /** Days before a score over which a condition is meaned. */
  readonly lags: readonly string[];
}

/** What the reader asks now; an empty text is every pen or line. */
export interface Choices {
  readonly reader: Reader;
  readonly topic: Topic;
  readonly flock: string;
  readonly season: string;
  readonly pen: string;
  readonly line: string;
  readonly group: string;
  readonly exposure: string;
  readonly outcome: string;
  readonly lag: string;
}

export async function readOffer(book: OpenBook): Promise<Offer> {
  const list = async (sql: string): Promise<readonly string[]> => {
    const { rows } = await book.ask(sql);
    return rows.map((row) => row.value ?? "").filter((value) => value !== "");
  };
  const { rows: flocks } = await book.ask(
    `SELECT e.flock, any_value(h.settings) AS settings FROM exposure.flock e LEFT JOIN herd.flock h ON h.flock = e.flock
     GROUP BY e.flock ORDER BY e.flock`,
  );
  return {
    readers: new Map(flocks.map(({ flock, settings }) => [flock!, readerOf(JSON.parse(settings ?? "{}"))])),
    seasons: await list(
      "SELECT season AS value FROM exposure.season GROUP BY season ORDER BY season <> 'all', min(from_day) DESC",
    ),
    pens: await list(
      "SELECT DISTINCT pen AS value FROM exposure.animal_pen WHERE pen IS NOT NULL ORDER BY value",
    ),
    lines: await list(
      "SELECT DISTINCT line AS value FROM exposure.animal_line WHERE line IS NOT NULL ORDER BY value",
    ),
    groups: await list(
      `SELECT DISTINCT group_kind AS value FROM (
         SELECT group_kind FROM results.growth_summary UNION ALL SELECT group_kind FROM results.lameness
         UNION ALL SELECT group_kind FROM results.retrim_summary)
       WHERE group_kind <> 'flock' ORDER BY value`,
    ),
    exposures: await list(
      "SELECT DISTINCT exposure AS value FROM results.association WHERE NOT contains(exposure, '+') ORDER BY value",
    ),
    outcomes: await list("SELECT DISTINCT outcome AS value FROM results.association ORDER BY value"),
    lags: await list(
      "SELECT DISTINCT lag_days AS value FROM results.association WHERE lag_days IS NOT NULL ORDER BY value",
    ),
  };
}

/** A condition of SQL for each choice that is made. */
export function whereChosen(chosen: Readonly<Record<string, string>>): string {
  const parts = Object.entries(chosen)
    .filter(([, value]) => value !== "")
    .map(([column, value]) => `${column} = ${quoteText(value)}`);
  return parts.length === 0 ? "TRUE" : parts.join("\n  AND ");
}
