import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { createDuckDB, type DuckDBBundles, NODE_RUNTIME, VoidLogger } from "@duckdb/duckdb-wasm/blocking";
import { connectEngine } from "../../notebooks/connect-engine.ts";
import type { WasmEngine } from "../../notebooks/wasm-book.ts";

const dist = dirname(createRequire(import.meta.url).resolve("@duckdb/duckdb-wasm/dist/duckdb-mvp.wasm"));
const bundles: DuckDBBundles = {
  mvp: { mainModule: join(dist, "duckdb-mvp.wasm"), mainWorker: "" },
  eh: { mainModule: join(dist, "duckdb-eh.wasm"), mainWorker: "" },
};

/**
 * Opens the engine that pages use, inside Node without a worker. Starting it takes seconds, so a file of tests starts it
 * once, with the first call; another file has one of its own, since a book may lock what it is set to.
 */
export function wasmEngineOpener(): () => Promise<WasmEngine> {
  let started: ReturnType<typeof start> | undefined;
  return async () => {
    started ??= start();
    return connectEngine(await started);
  };
}

async function start() {
  const database = await createDuckDB(bundles, new VoidLogger(), NODE_RUNTIME);
  await database.instantiate();
  database.open({});
  return database;
}
