/** Files that the bundler puts beside the page and names by their address. */

declare module "*.wasm?url" {
  const address: string;
  export default address;
}

declare module "*?worker&url" {
  const address: string;
  export default address;
}

/** The blocking engine of a browser's worker; its package exports the same names for Node only. */
declare module "duckdb-blocking" {
  export {
    BROWSER_RUNTIME,
    createDuckDB,
    DuckDBAccessMode,
    VoidLogger,
  } from "@duckdb/duckdb-wasm/dist/types/src/targets/duckdb-browser-blocking";
}
