import { openWasmBook } from "../../notebooks/wasm-book.ts";
import { describeBook } from "./book-cases.ts";
import { openWasmEngine } from "./open-wasm-engine.ts";

describeBook("the WebAssembly engine", async () => openWasmBook(await openWasmEngine()));
