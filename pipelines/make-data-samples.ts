import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { dataSamples } from "./data-sample-files.ts";

/** Writes the sheets of data-samples/ anew; the notes and settings beside them are kept by hand. */
const root = join(dirname(fileURLToPath(import.meta.url)), "..");

function write(name: string, content: string | Uint8Array): void {
  const path = join(root, name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, content);
}

const { files, expectedSetAside } = dataSamples();
for (const [name, content] of Object.entries(files)) write(join("data-samples", name), content);
write("tests/demo/expected-set-aside.csv", expectedSetAside);
