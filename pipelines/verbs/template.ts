import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { kindIds, kinds } from "../../src/records/kinds.ts";
import { dictionaryPage } from "../../src/report/dictionary-page.tsx";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const template: Verb = {
  name: "template",
  words: "FOLDER",
  says: "empty sheets to fill in, with a page that explains each column",
  options: {},
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const folder = resolve(call.words[0]!);
    const taken = kindIds.find((id) => existsSync(join(folder, `${id}.csv`)));
    if (taken)
      throw new Unusable(
        `${join(folder, `${taken}.csv`)} is there already. Name a new folder: a template never overwrites.`,
      );
    mkdirSync(folder, { recursive: true });
    for (const id of kindIds) {
      writeFileSync(
        join(folder, `${id}.csv`),
        writeDelimited([kinds[id].columns.map((column) => column.name)], { byteOrderMark: true }),
      );
    }
    writeFileSync(join(folder, "columns.html"), dictionaryPage(call.language ?? "en"));
    rim.print(
      `Wrote ${kindIds.length} empty sheets and columns.html to ${folder}. Fill in those you need; every sheet but one is optional.`,
    );
    return 0;
  },
};
