import type { Book } from "../../src/book/book.ts";

/** What was set aside, as `file row kind column: reason`, in the order of the book. */
export async function setAsideOf(book: Book): Promise<readonly string[]> {
  const rows = await book.rows<{ line: string }>(
    `SELECT s.file || ' ' || a.row_no || ' ' || coalesce(a.kind, '-') || ' ' || coalesce(a.column_name, '-') || ': ' || a.reason
       || CASE WHEN a.loses = 'record' THEN '' ELSE ' (' || a.loses || ')' END AS line
     FROM intake.set_aside a JOIN intake.current_source s USING (source_id) ORDER BY s.file, a.row_no, a.part, a.kind, a.column_name`,
  );
  return rows.map(({ line }) => line);
}

/** Everything that is worked out from the readings, table by table, rows as text in the order of the book. */
export async function derivedTables(
  book: Book,
  options: { sourceIds: boolean },
): Promise<Record<string, readonly string[]>> {
  const tables = await book.rows<{ name: string }>(
    `SELECT table_schema || '."' || table_name || '"' AS name FROM information_schema.tables
     WHERE table_type = 'BASE TABLE' AND (table_schema = 'herd' OR (table_schema = 'intake' AND table_name IN
       ('set_aside', 'record_sum', 'remark', 'unmapped_word', 'unlisted_animal'))) ORDER BY ALL`,
  );
  const all: Record<string, readonly string[]> = {};
  for (const { name } of tables) {
    // ids follow the order in which sheets came; the file says the same of where a row came from
    const select = options.sourceIds
      ? `SELECT CAST(t AS VARCHAR) AS line FROM ${name} t ORDER BY line`
      : (await hasSource(book, name))
        ? `SELECT s.flock || ' ' || s.file || ' ' || CAST(x AS VARCHAR) AS line FROM
             (SELECT source_id, {${await otherColumns(book, name)}} AS x FROM ${name}) JOIN intake.source s USING (source_id) ORDER BY line`
        : `SELECT CAST(t AS VARCHAR) AS line FROM ${name} t ORDER BY line`;
    all[name] = (await book.rows<{ line: string }>(select)).map(({ line }) => line);
  }
  return all;
}

async function columnsOf(book: Book, name: string): Promise<readonly string[]> {
  const rows = await book.rows<{ name: string }>(`SELECT name FROM pragma_table_info('${name}')`);
  return rows.map((row) => row.name);
}

async function hasSource(book: Book, name: string): Promise<boolean> {
  return (await columnsOf(book, name)).includes("source_id");
}

async function otherColumns(book: Book, name: string): Promise<string> {
  const names = (await columnsOf(book, name)).filter((column) => column !== "source_id");
  return names.map((column) => `'${column}': "${column}"`).join(", ");
}
