import type { DuckDBBindings } from "@duckdb/duckdb-wasm/blocking";
import type { WasmEngine } from "./wasm-book.ts";

/** A connection to a started engine, as a book asks it. */
export function connectEngine(database: DuckDBBindings): WasmEngine {
  const connection = database.connect();
  return {
    query: (sql) => connection.query(sql) as never,
    prepare: (sql) => connection.prepare(sql) as never,
    lendFile: (name, text) => database.registerFileText(name, text),
    dropFile: (name) => database.dropFile(name),
    close: () => connection.close(),
  };
}
