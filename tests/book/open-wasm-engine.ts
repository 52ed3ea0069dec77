import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { createDuckDB, type DuckDBBundles, NODE_RUNTIME, VoidLogger } from "@duckdb/duckdb-wasm/blocking";
import type { WasmEngine } from "../../notebooks/wasm-book.ts";

const dist = dirname(createRequire(import.meta.url).resolve("@duckdb/duckdb-wasm/dist/duckdb-mvp.wasm"));
const bundles: DuckDBBundles = {
  mvp: { mainModule: join(dist, "duckdb-mvp.wasm"), mainWorker: "" },
  eh: { mainModule: join(dist, "duckdb-eh.wasm"), mainWorker: "" },
};

/** Starting it takes seconds, so once is enough. */
const started = createDuckDB(bundles, new VoidLogger(), NODE_RUNTIME).then(async (database) => {
  await database.instantiate();
  database.open({});
  return database;
});

/** The engine that pages use, run inside Node without a worker. */
export async function openWasmEngine(): Promise<WasmEngine> {
  const database = await started;
  const connection = database.connect();
  return {
    query: (sql) => connection.query(sql) as never,
    prepare: (sql) => connection.prepare(sql) as never,
    lendFile: (name, text) => database.registerFileText(name, text),
    dropFile: (name) => database.dropFile(name),
    close: () => connection.close(),
  };
}
