import { existsSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { truthAsPlainData } from "../../src/demo/flock-truth.ts";
import { type InventedFlock, inventFlock } from "../../src/demo/invent-flock.ts";
import { inventFlocks } from "../../src/demo/invent-flocks.ts";
import { kindIds } from "../../src/records/kinds.ts";
import { type DelimitedCell, writeDelimited } from "../../src/sheets/write-delimited.ts";
import { Unusable } from "../unusable.ts";
import type { Call, Verb } from "../verb.ts";

export const demo: Verb = {
  name: "demo",
  words: "FOLDER",
  says: "writes an invented flock's sheets, the truth beside the folder",
  options: {
    goats: { value: "N", says: "goats (default 120)" },
    days: { value: "D", says: "days of records (default 730)" },
    seed: { value: "S", says: "seed: the same seed gives the same flock (default 1)" },
    flocks: { value: "K", says: "flocks (default 1)" },
  },
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const folder = resolve(call.words[0]!);
    if (existsSync(folder) && readdirSync(folder).length > 0)
      throw new Unusable(`${folder} is not empty. Name a new folder.`);
    const flocks = invent(call);
    mkdirSync(folder, { recursive: true });
    for (const kind of kindIds) {
      const rows = flocks.flatMap((flock) => flock.sheets[kind] ?? []);
      if (rows.length === 0) continue;
      const names = [...new Set(rows.flatMap((row) => Object.keys(row)))];
      const cells = rows.map((row) => names.map((name): DelimitedCell => row[name] ?? null));
      writeFileSync(join(folder, `${kind}.csv`), writeDelimited([names, ...cells]));
    }
    const truth = join(dirname(folder), `${basename(folder)}.truth.json`);
    const truths = flocks.map((flock) => truthAsPlainData(flock.truth));
    writeFileSync(truth, `${JSON.stringify(truths.length === 1 ? truths[0] : truths)}\n`);
    rim.print(`Wrote an invented flock to ${folder}, and what is true of it to ${truth}.`);
    return 0;
  },
};

function invent(call: Call): readonly InventedFlock[] {
  const whole = (name: string, fallback: number): number => {
    const value = call.number(name) ?? fallback;
    if (!Number.isInteger(value) || value < 1)
      throw new Unusable(`--${name} is ${value}; it must be a whole number from 1`);
    return value;
  };
  const options = {
    seed: whole("seed", 1),
    goats: whole("goats", 120),
    days: whole("days", 730),
    detail: "farm",
  } as const;
  const count = whole("flocks", 1);
  try {
    return count === 1 ? [inventFlock(options)] : inventFlocks(options, { flocks: count });
  } catch (error) {
    if (error instanceof RangeError) throw new Unusable(error.message);
    throw error;
  }
}
