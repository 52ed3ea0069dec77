import * as blocking from "@duckdb/duckdb-wasm/blocking";
import engineAddress from "@duckdb/duckdb-wasm/dist/duckdb-eh.wasm?url";
import { connectEngine } from "../connect-engine.ts";
import type { WasmEngine } from "../wasm-book.ts";

export interface Engine {
  /** A book of its own in memory; the one before is let go. */
  openEmpty(): WasmEngine;
  /** A book from the bytes of its file, for reading only; the one before is let go. */
  openFile(bytes: Uint8Array): WasmEngine;
}

/** Starts the engine inside a worker: it blocks while it works, so that no page has to. */
export async function startEngine(): Promise<Engine> {
  const module = { mainModule: engineAddress, mainWorker: "" };
  const database = await blocking.createDuckDB(
    { mvp: module, eh: module },
    new blocking.VoidLogger(),
    runtime(),
  );
  await database.instantiate();
  let opened = 0;
  return {
    openEmpty() {
      database.open({});
      return connectEngine(database);
    },
    openFile(bytes) {
      const path = `book-${opened++}.duckdb`;
      database.registerFileBuffer(path, bytes);
      database.open({ path, accessMode: blocking.DuckDBAccessMode.READ_ONLY });
      return connectEngine(database);
    },
  };
}

/** The package's types tell of its build for Node; the one for browsers has this runtime in its place. */
function runtime(): typeof blocking.NODE_RUNTIME {
  return (blocking as unknown as { readonly BROWSER_RUNTIME: typeof blocking.NODE_RUNTIME }).BROWSER_RUNTIME;
}
