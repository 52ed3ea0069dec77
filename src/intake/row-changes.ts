import type { Book } from "../book/book.ts";

/** How the rows of a sheet differ from those of its version before. */
export interface RowChanges {
  readonly added: number;
  readonly changed: number;
  readonly gone: number;
}

/**
 * Rows are held against each other by what they say, wherever they stand. Of those left over, two that follow
 * the same unchanged row are one row changed; the others are added or gone.
 */
export async function compareRows(
  book: Book,
  table: string,
  sourceId: number,
  beforeId: number,
): Promise<RowChanges> {
  const [row] = await book.rows<RowChanges>(
    `WITH now AS (
       SELECT row_no, cells, row_number() OVER (PARTITION BY cells ORDER BY row_no) AS nth FROM ${table} WHERE source_id = ?
     ), before AS (
       SELECT row_no, cells, row_number() OVER (PARTITION BY cells ORDER BY row_no) AS nth FROM intake.raw_row WHERE source_id = ?
     ), fresh AS (${leftOver("now", "before")}), stale AS (${leftOver("before", "now")}),
     counts AS (
       SELECT (SELECT count(*) FROM fresh) AS fresh, (SELECT count(*) FROM stale) AS stale,
         (SELECT count(*) FROM fresh SEMI JOIN stale USING (follows, place)) AS changed
     )
     SELECT CAST(fresh - changed AS INTEGER) AS added, CAST(changed AS INTEGER) AS changed, CAST(stale - changed AS INTEGER) AS gone
     FROM counts`,
    [sourceId, beforeId],
  );
  return row!;
}

/** Rows of one version that the other lacks: after how many common rows each stands, and as which of these. */
function leftOver(version: string, other: string): string {
  return `SELECT follows, row_number() OVER (PARTITION BY follows ORDER BY row_no) AS place FROM (
    SELECT v.row_no, o.cells IS NULL AS alone, count(o.cells) OVER (ORDER BY v.row_no) AS follows
    FROM ${version} v LEFT JOIN ${other} o ON o.cells = v.cells AND o.nth = v.nth
  ) WHERE alone`;
}
