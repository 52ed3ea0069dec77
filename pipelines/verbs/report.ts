import { resolve } from "node:path";
import { readFlocks } from "../../src/exposure/flocks.ts";
import { bookPages } from "../../src/output/book-pages.ts";
import { resultFiles } from "../../src/output/result-files.ts";
import { type Reader, readers } from "../../src/report/season-page-input.ts";
import { anonymousOptions, withReadableBook } from "../anonymous-book.ts";
import { requireCurrentResults } from "../current-results.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";
import { version } from "../version.ts";
import { writeFiles } from "../write-files.ts";

export const report: Verb = {
  name: "report",
  words: "",
  says: "writes the pages",
  options: {
    season: { value: "ID|all|latest", says: "which season (default all)" },
    reader: { value: "breeder|extension|vet|all", says: "for whom (default all)" },
    on: {
      value: "DAY",
      says: "the day the pages speak of (default: the last day on which anything was done)",
    },
    out: { value: "DIR", says: "where the pages go (default out; out-anonymous with --anonymous)" },
    ...anonymousOptions,
  },
  leastWords: 0,
  mostWords: 0,
  async run(call, rim) {
    const reader = (call.text("reader") ?? "all") as Reader | "all";
    if (reader !== "all" && !readers.includes(reader))
      throw new Unusable(`--reader is ${reader}; it can be ${readers.join(", ")} or all`);
    const season = call.text("season") ?? "all";
    const out = resolve(call.text("out") ?? (call.flag("anonymous") ? "out-anonymous" : "out"));
    return withReadableBook(call, rim, out, async (book, asked) => {
      await requireCurrentResults(book);
      const all = await readFlocks(book, rim.today, call.day("on"));
      const flocks = asked === null ? all : all.filter((flock) => flock.id === asked);
      if (flocks.length === 0)
        throw new Unusable(
          `No such flock. The book has: ${all.map((flock) => flock.id).join(", ") || "none"}.`,
        );
      const known = new Set(flocks.flatMap((flock) => flock.seasons.map((span) => span.id)));
      if (season !== "all" && season !== "latest" && !known.has(season)) {
        throw new Unusable(`No season ${season}. There are: ${[...known].join(", ")}.`);
      }
      const files = [
        ...(await bookPages(book, flocks, {
          language: call.language,
          season,
          reader,
          version,
          draw: rim.hands().draw,
        })),
        ...(await resultFiles(book)),
      ];
      await writeFiles(out, files);
      rim.print(`Wrote ${files.filter((file) => file.path.endsWith(".html")).length} pages to ${out}.`);
      return 0;
    });
  },
};
