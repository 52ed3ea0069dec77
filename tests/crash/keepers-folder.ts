import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { fixedRim } from "../pipelines/fixed-rim.ts";
import { makeCall } from "./make-call.ts";
import { type OpenBook, type State, stateOf } from "./state-of.ts";

/** A call that is killed, on a copy of one prepared keeper's folder. */
export interface Scenario {
  readonly name: string;
  /** The call; `place` is the copied folder. */
  argv(place: string): readonly string[];
  /** How the next call opens the book, where that is not as every verb does. */
  readonly open?: OpenBook;
}

export const scenarios: readonly Scenario[] = [
  { name: "ingest", argv: (at) => ["ingest", join(at, "later"), ...bookOf(at)] },
  { name: "undo", argv: (at) => ["undo", "2", ...bookOf(at)] },
  { name: "analyse", argv: (at) => ["analyse", ...bookOf(at)] },
  { name: "report", argv: (at) => reportCall(at, "en") },
  { name: "export", argv: (at) => ["export", join(at, "export"), ...bookOf(at)] },
  { name: "backup", argv: (at) => ["backup", join(at, "kept.duckdb"), ...bookOf(at)] },
  {
    name: "run",
    argv: (at) => ["run", join(at, "first"), "--replace", ...bookOf(at), "--out", join(at, "out")],
  },
  {
    name: "migration",
    argv: (at) => ["bring-up", join(at, "flock.duckdb")],
    // of a version that this program does not know once it is brought up
    open: openNativeBook,
  },
];

/**
 * Writes a keeper's folder: two ingests in the book, results as of the first, Spanish pages, and a third
 * folder of sheets to take. Gives the state it leaves.
 */
export async function prepareKeepersFolder(place: string): Promise<State> {
  const sheets = (name: string, files: Readonly<Record<string, string>>): string => {
    mkdirSync(join(place, name), { recursive: true });
    for (const [file, text] of Object.entries(files)) writeFileSync(join(place, name, file), text);
    return join(place, name);
  };
  const first = sheets("first", {
    "animals.csv":
      "animal,sex,born,pen\nA1,female,2022-03-01,P1\nA2,female,2022-03-04,P1\nA3,wether,2021-03-04,P2\n",
    "trims.csv": trims(["2025-02-01", "2025-03-20"]),
  });
  const second = sheets("second", { "trims-2.csv": trims(["2025-05-02"]) });
  sheets("later", { "trims-3.csv": trims(["2025-06-10", "2025-07-22"]) });
  await mustEndWell(["ingest", first, ...bookOf(place)]);
  await mustEndWell(["analyse", ...bookOf(place)]);
  await mustEndWell(["ingest", second, ...bookOf(place)]);
  await mustEndWell(reportCall(place, "es"));
  return stateOf(place);
}

/** Makes a call here; throws when it ends with another code than 0 and those given. */
export async function mustEndWell(argv: readonly string[], alsoGood: readonly number[] = []): Promise<void> {
  const told: string[] = [];
  const code = await makeCall(
    argv,
    fixedRim(
      () => undefined,
      (text) => told.push(text),
    ),
  );
  if (![0, ...alsoGood].includes(code))
    throw new Error(`${argv.join(" ")} ended with ${code}: ${told.join("\n")}`);
}

function bookOf(place: string): readonly string[] {
  return ["--book", join(place, "flock.duckdb")];
}

function reportCall(place: string, language: string): readonly string[] {
  const out = ["--out", join(place, "out")];
  return ["report", ...bookOf(place), ...out, "--language", language, "--season", "latest"];
}

function trims(days: readonly string[]): string {
  const rows = days.flatMap((day, d) =>
    ["A1", "A2", "A3"].flatMap((animal, a) =>
      ["LF", "RH"].map(
        (foot, f) => `${animal},${day},${foot},outer,${45 + ((d + a) % 3)},${38 + ((a + f) % 3)}`,
      ),
    ),
  );
  return ["animal,date,foot,claw,toe_before_mm,toe_after_mm", ...rows, ""].join("\n");
}
