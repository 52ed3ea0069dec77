import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { coronet } from "../../pipelines/coronet.ts";
import { fixedRim } from "../pipelines/fixed-rim.ts";
import { killCall } from "./kill-call.ts";
import { stateOfBook, stateOfFolder } from "./state-of.ts";

/** A verb that is killed, on a copy of one prepared keeper's folder. */
export interface Scenario {
  readonly name: string;
  /** The call; `place` is the copied folder. */
  argv(place: string): readonly string[];
}

export const scenarios: readonly Scenario[] = [
  { name: "ingest", argv: (at) => ["ingest", join(at, "later"), "--book", join(at, "flock.duckdb")] },
  { name: "undo", argv: (at) => ["undo", "2", "--book", join(at, "flock.duckdb")] },
  { name: "analyse", argv: (at) => ["analyse", "--book", join(at, "flock.duckdb")] },
  { name: "report", argv: (at) => reportCall(at, "en") },
  { name: "export", argv: (at) => ["export", join(at, "export"), "--book", join(at, "flock.duckdb")] },
  {
    name: "run",
    argv: (at) => [
      "run",
      join(at, "first"),
      "--replace",
      "--book",
      join(at, "flock.duckdb"),
      "--out",
      join(at, "out"),
    ],
  },
];

/** What a keeper's folder holds: the book, its pages, what was exported. */
export interface State {
  readonly book: string;
  readonly pages: ReadonlyMap<string, string>;
  readonly exported: ReadonlyMap<string, string>;
}

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
  const book = join(place, "flock.duckdb");
  await done(["ingest", first, "--book", book]);
  await done(["analyse", "--book", book]);
  await done(["ingest", second, "--book", book]);
  await done(reportCall(place, "es"));
  return stateOf(place);
}

function reportCall(place: string, language: string): readonly string[] {
  const [book, out] = [join(place, "flock.duckdb"), join(place, "out")];
  return ["report", "--book", book, "--out", out, "--language", language, "--season", "latest"];
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

export interface KillReport {
  readonly killed: number;
  readonly ended: number;
  /** Whether the state after each kill was that before the call, that after it, or pages of both. */
  readonly before: number;
  readonly after: number;
  readonly between: number;
}

/**
 * Kills a verb at the given shares of the time it takes, each time on a fresh copy of the prepared folder, and
 * holds what is left against the states before and after a whole call. Then the call is made again on what
 * the last kill left, and must end well. Throws, naming the moment, when anything is lost or half.
 */
export async function killAt(
  scenario: Scenario,
  prepared: string,
  before: State,
  scratch: string,
  moments: readonly number[],
  timeOfCall: number,
): Promise<KillReport> {
  const seen: { moment: number; state: State; code: number | null }[] = [];
  let place = "";
  const next = [...moments];
  await Promise.all(
    ["one", "two"].map(async (lane) => {
      for (let moment = next.shift(); moment !== undefined; moment = next.shift()) {
        const own = join(scratch, `${scenario.name}-${lane}`);
        rmSync(own, { recursive: true, force: true });
        cpSync(prepared, own, { recursive: true });
        const ending = await killCall([...scenario.argv(own), "--debug"], moment * timeOfCall);
        if (ending.code !== null && ending.code !== 0)
          throw new Error(`${scenario.name} ended with ${ending.code}: ${ending.told}`);
        seen.push({ moment, state: await stateOf(own), code: ending.code });
        place = own;
      }
    }),
  );

  await done(scenario.argv(place));
  const after = await stateOf(place);
  for (const folder of [place, join(place, "out")]) {
    const left = readdirSync(folder).filter((name) => name.startsWith(".coronet-"));
    if (left.length > 0) throw new Error(`${scenario.name} leaves ${left.join(", ")} behind`);
  }
  const kinds = seen.map(({ moment, state, code }) => {
    try {
      return placeOf(state, before, after);
    } catch (error) {
      throw new Error(
        `${scenario.name} ${code === null ? "killed" : "ended"} at ${moment.toFixed(3)}: ${(error as Error).message}`,
      );
    }
  });
  const count = (kind: string): number => kinds.filter((one) => one === kind).length;
  return {
    killed: seen.filter(({ code }) => code === null).length,
    ended: seen.filter(({ code }) => code !== null).length,
    before: count("before"),
    after: count("after"),
    between: count("between"),
  };
}

/** Reads all of it; throws when the book does not open or a manifest is cut short. */
export async function stateOf(place: string): Promise<State> {
  const manifest = join(place, "out", "manifest.json");
  if (existsSync(manifest)) JSON.parse(readFileSync(manifest, "utf8"));
  const book = await stateOfBook(join(place, "flock.duckdb"));
  return { book, pages: stateOfFolder(join(place, "out")), exported: stateOfFolder(join(place, "export")) };
}

function placeOf(state: State, before: State, after: State): "before" | "after" | "between" {
  const places = new Set<string>();
  const hold = (
    what: string,
    now: string | undefined,
    old: string | undefined,
    fresh: string | undefined,
  ): void => {
    if (old === fresh && now === old) return;
    if (now === old) places.add("before");
    else if (now === fresh) places.add("after");
    else throw new Error(`${what} is neither as before nor as after`);
  };
  hold("the book", state.book, before.book, after.book);
  for (const path of new Set([...state.pages.keys(), ...before.pages.keys(), ...after.pages.keys()])) {
    // the manifest says how long each step took, so two whole ones differ; that it is whole was seen on reading
    if (!path.endsWith("manifest.json"))
      hold(path, state.pages.get(path), before.pages.get(path), after.pages.get(path));
  }
  const files = new Set([...state.exported.keys(), ...after.exported.keys()]);
  const given = [...files].filter((path) => !path.includes("manifest"));
  const missing = given.filter((path) => !state.exported.has(path));
  if (missing.length > 0 && missing.length < given.length)
    throw new Error(`the export lacks ${missing.join(", ")}`);
  for (const path of given)
    hold(path, state.exported.get(path), before.exported.get(path), after.exported.get(path));
  return places.size > 1 ? "between" : places.has("after") ? "after" : "before";
}

/** Makes a call that must end well. */
async function done(argv: readonly string[]): Promise<void> {
  const told: string[] = [];
  const code = await coronet(
    argv,
    fixedRim(
      () => undefined,
      (text) => told.push(text),
    ),
  );
  if (code !== 0) throw new Error(`${argv.join(" ")} ended with ${code}: ${told.join("\n")}`);
}
