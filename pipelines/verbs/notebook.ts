import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import {
  bookLabel,
  bookLabelPlace,
  bookPlace,
  buildNotebooks,
  copySmall,
  siteFolder,
} from "../build-notebooks.ts";
import { requireCurrentResults } from "../current-results.ts";
import { bookPath, withBook } from "../open-book.ts";
import { serveSite } from "../serve-site.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const notebook: Verb = {
  name: "notebook",
  words: "",
  says: "serves the notebooks on the book, read-only, on this machine alone",
  options: { port: { value: "N", says: "port (default 4180; 0 takes a free one)" } },
  leastWords: 0,
  mostWords: 0,
  async run(call, rim) {
    const port = call.number("port") ?? 4180;
    if (!Number.isInteger(port) || port < 0 || port > 65_535)
      throw new Unusable(`--port is ${port}; it must be a whole number from 0 to 65535`);
    const path = bookPath(call);
    await withBook(path, true, requireCurrentResults);
    if (!existsSync(join(siteFolder, "index.html"))) {
      rim.tell("Building the notebooks, once …");
      await buildNotebooks(siteFolder, null);
    }
    const scratch = mkdtempSync(join(tmpdir(), "coronet-notebook-"));
    try {
      // the copy is what is served: the book itself stays free for others, and cannot be reached
      const copy = join(scratch, "flock.duckdb");
      const label = join(scratch, "label.json");
      await copySmall(path, copy);
      writeFileSync(label, bookLabel(basename(path)));
      const server = await serveOrExplain(port, { [bookPlace]: copy, [bookLabelPlace]: label });
      rim.print(`The notebooks on ${path}, as it is now: ${server.address}\nStop with Ctrl+C.`);
      await stopped();
      await server.close();
      return 0;
    } finally {
      rmSync(scratch, { recursive: true, force: true });
    }
  },
};

async function serveOrExplain(port: number, instead: Readonly<Record<string, string>>) {
  try {
    return await serveSite({ folder: siteFolder, instead, port });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EADDRINUSE") throw error;
    throw new Unusable(
      `Port ${port} is taken by another program. Name another with --port, or 0 for a free one.`,
    );
  }
}

function stopped(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => resolve());
  });
}
