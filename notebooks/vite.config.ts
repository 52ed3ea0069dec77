import { stylesheet } from "./look/stylesheet.ts";

const blockingEngine = new URL(
  "../node_modules/@duckdb/duckdb-wasm/dist/duckdb-browser-blocking.mjs",
  import.meta.url,
).pathname;

/** Names that notebooks elsewhere may use without an import and that load from a public network: none here. */
const NAMES_FROM_A_NETWORK = /stdlib\/(recommendedLibraries|sampleDatasets)\.js$/;

const house = {
  name: "house",
  enforce: "pre",
  load: (id: string) => (NAMES_FROM_A_NETWORK.test(id) ? "export {};" : null),
  transformIndexHtml: {
    order: "post",
    handler: (html: string, { path }: { readonly path: string }) => ({
      html: html.replace(`<a href=".${path}">`, `<a href=".${path}" aria-current="page">`),
      tags: [{ tag: "style", children: stylesheet, injectTo: "head" }],
    }),
  },
};

export default {
  plugins: [house],
  resolve: {
    // the package exports its blocking engine for Node only; its browser build stands beside it
    alias: [{ find: "@duckdb/duckdb-wasm/blocking", replacement: blockingEngine }],
  },
  worker: { format: "es" },
  publicDir: false,
  build: {
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 4000,
    reportCompressedSize: false,
  },
};
