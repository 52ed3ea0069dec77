import { openWasmBook } from "../../notebooks/wasm-book.ts";
import { describeBook } from "./book-cases.ts";
import { wasmEngineOpener } from "./open-wasm-engine.ts";

const openWasmEngine = wasmEngineOpener();

describeBook("the WebAssembly engine", async () => openWasmBook(await openWasmEngine()));
