import { type Book, quoteText } from "../book/book.ts";
import { texts } from "./load-columns.ts";
import type { ReadBatch } from "./reading.ts";

/** Puts the rows that a batch covers into a table of raw rows, as they came: each a JSON array of texts. */
export async function loadRaw(
  book: Book,
  table: "intake.raw_row" | "intake.incoming_row",
  { rawRowNo, rawCells, rawLines }: ReadBatch,
  sourceId: number,
): Promise<void> {
  if (rawLines !== undefined && rawLines.rows > 0) {
    const { firstRow, text, delimiter } = rawLines;
    // no cell of these rows holds a character that JSON escapes
    await book.run(
      `INSERT INTO ${table} (source_id, row_no, cells)
       SELECT ${sourceId}, row_no, '["' || replace(line, ${quoteText(delimiter)}, '","') || '"]' FROM (
         SELECT unnest(lines) AS line, unnest(range(${firstRow}, ${firstRow} + len(lines))) AS row_no
         FROM (SELECT string_split(?, chr(10)) AS lines))
       WHERE line <> ''`,
      [text],
    );
  }
  if (rawRowNo.length === 0) return;
  await book.load(table, [
    { name: "source_id", type: "integer", values: new Int32Array(rawRowNo.length).fill(sourceId) },
    { name: "row_no", type: "integer", values: rawRowNo },
    texts(
      "cells",
      rawCells.map((cells) => JSON.stringify(cells)),
    ),
  ]);
}
