import { join, resolve } from "node:path";
import { readFlocks } from "../../src/exposure/flocks.ts";
import { nextCheckRows } from "../../src/findings/next-check.ts";
import { flockFolders } from "../../src/output/flock-folders.ts";
import { latestInput } from "../../src/output/season-pages.ts";
import { wordCodes } from "../../src/records/codes.ts";
import { isoDay } from "../../src/records/days.ts";
import { worklistPage } from "../../src/report/worklist-page.tsx";
import { worklistRows } from "../../src/report/worklist-rows.ts";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { alignedTable } from "../aligned-table.ts";
import { anonymousOptions, withReadableBook } from "../anonymous-book.ts";
import { requireCurrentResults } from "../current-results.ts";
import type { Verb } from "../verb.ts";
import { version } from "../version.ts";
import { writeFiles } from "../write-files.ts";

export const worklist: Verb = {
  name: "worklist",
  words: "",
  says: "whom to look at next, when and why; computed from the stored fits, writes nothing to the book",
  options: {
    on: { value: "DAY", says: "the day it speaks of (default: today)" },
    weeks: { value: "N", says: "also those whose check falls within N weeks (default 2)" },
    out: {
      value: "DIR",
      says: "also write worklist.html and worklist.csv there, in a folder for each of several flocks",
    },
    ...anonymousOptions,
  },
  leastWords: 0,
  mostWords: 0,
  async run(call, rim) {
    const on = call.day("on") ?? rim.today;
    const until = on + (call.number("weeks") ?? 2) * 7;
    return withReadableBook(call, rim, call.text("out"), async (book, asked) => {
      await requireCurrentResults(book);
      const all = await readFlocks(book, rim.today, on);
      const flocks = asked === null ? all : all.filter((flock) => flock.id === asked);
      const rows = await nextCheckRows({ book }, on);
      const folders = flockFolders(flocks.map(({ id }) => id));
      for (const flock of flocks) {
        const listed = rows.filter(
          (row) => row.flock === flock.id && (row.urgency !== "routine" || row.check_by <= until),
        );
        rim.print(`${flock.name}, ${isoDay(on)}: ${listed.length} to look at`);
        rim.print(
          alignedTable(
            listed.map((row) => ({
              look: row.look_order,
              trim: row.trim_order,
              goat: row.animal,
              pen: row.pen ?? "",
              urgency: row.urgency,
              "check by": isoDay(row.check_by),
              why: wordCodes(row.reason, call.language ?? "en"),
              caution: wordCodes(row.caution, call.language ?? "en"),
            })),
            rim.width,
          ),
        );
        const out = call.text("out");
        if (out !== null) {
          const input = await latestInput(book, flock, {
            language: call.language,
            season: "latest",
            reader: "all",
            version,
          });
          await writeFiles(flocks.length === 1 ? resolve(out) : join(resolve(out), folders.get(flock.id)!), [
            { path: "worklist.html", content: worklistPage(input, listed) },
            {
              path: "worklist.csv",
              content: writeDelimited(worklistRows(input, listed), { byteOrderMark: true }),
            },
          ]);
        }
      }
      return 0;
    });
  },
};
