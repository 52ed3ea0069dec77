import { cpSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { mustEndWell, type Scenario } from "./keepers-folder.ts";
import { killCall } from "./kill-call.ts";
import { type State, stateOf } from "./state-of.ts";

/** Whether a folder is as before the call, as after it, or has files of both. */
type Found = "before" | "after" | "between";

export interface KillReport {
  /** Calls killed, moments at which calls stood still, and calls that ended before their moment came. */
  readonly killed: number;
  readonly stopped: number;
  readonly ended: number;
  /** Whether the state at each moment was that before the call, that after it, or pages of both. */
  readonly before: number;
  readonly after: number;
  readonly between: number;
}

/**
 * Breaks a call off at the given moments, in milliseconds of its work: one list for each time the call is
 * made, on a fresh copy of the prepared folder. It is stopped at all but the last of them, and killed at that.
 * What each leaves is held against the states before and after a whole call. Then the call is made again on
 * what the last kill left, and must end well. Throws, naming the moment, when anything is lost or half.
 */
export async function killAt(
  scenario: Scenario,
  prepared: string,
  before: State,
  scratch: string,
  momentsOfCalls: readonly (readonly number[])[],
): Promise<KillReport> {
  const whole = freshCopy(prepared, join(scratch, `${scenario.name}-whole`));
  await mustEndWell(scenario.argv(whole));
  const after = await stateOf(whole, scenario.open);
  rmSync(whole, { recursive: true });

  const report = { killed: 0, stopped: 0, ended: 0, before: 0, after: 0, between: 0 };
  const hold = async (place: string, moment: number | null): Promise<Found> => {
    try {
      const found = placeOf(await stateOf(place, scenario.open), before, after);
      report[found]++;
      return found;
    } catch (error) {
      const when = moment === null ? "whole" : `broken off at ${moment.toFixed(0)} ms`;
      throw new Error(`${scenario.name} ${when}: ${(error as Error).message}`, { cause: error });
    }
  };

  for (const [i, moments] of momentsOfCalls.entries()) {
    const place = freshCopy(prepared, join(scratch, scenario.name));
    const copies: { readonly at: string; readonly moment: number }[] = [];
    const ending = await killCall([...scenario.argv(place), "--debug"], moments, (moment) => {
      copies.push({ at: freshCopy(place, join(scratch, `${scenario.name}-${copies.length}`)), moment });
    });
    if (ending.code !== null && ending.code !== 0)
      throw new Error(`${scenario.name} ended with ${ending.code}: ${ending.told}`);
    report[ending.code === null ? "killed" : "ended"]++;
    report.stopped += copies.length;
    for (const { at, moment } of copies) {
      await hold(at, moment);
      rmSync(at, { recursive: true });
    }
    const found = await hold(place, ending.code === null ? moments.at(-1)! : null);
    if (i === momentsOfCalls.length - 1) await againMustEndWell(scenario, place, found, before, after);
    rmSync(place, { recursive: true });
  }
  return report;
}

function freshCopy(from: string, to: string): string {
  rmSync(to, { recursive: true, force: true });
  cpSync(from, to, { recursive: true });
  return to;
}

/** What was already done may be refused the second time, such as an undo of what is undone. */
async function againMustEndWell(
  scenario: Scenario,
  place: string,
  found: Found,
  before: State,
  after: State,
): Promise<void> {
  await mustEndWell(scenario.argv(place), found === "after" ? [2] : []);
  if (placeOf(await stateOf(place, scenario.open), before, after) !== "after")
    throw new Error(`${scenario.name} made again leaves another folder than once`);
  for (const folder of [place, join(place, "out")]) {
    const left = readdirSync(folder).filter((name) => /^\.coronet-|\.part(\.wal)?$/.test(name));
    if (left.length > 0) throw new Error(`${scenario.name} leaves ${left.join(", ")} behind`);
  }
}

/** Throws when anything is neither as before the call nor as after it. */
function placeOf(state: State, before: State, after: State): Found {
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
  // a copy has its name only once it is whole, and is of the book as it was,
  // or as the call left it when made twice
  for (const [name, copy] of state.copies) {
    if (copy !== before.book && copy !== after.book) throw new Error(`${name} is not a copy of the book`);
    if (!before.copies.has(name)) places.add("after");
  }
  return places.size > 1 ? "between" : places.has("after") ? "after" : "before";
}
