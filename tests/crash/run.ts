import { cpSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { prepareKeepersFolder, scenarios } from "./keepers-folder.ts";
import { killAt } from "./kill-at.ts";
import { killCall } from "./kill-call.ts";

/** `npm run crash -- 500`: so many calls killed at random moments, spread over the verbs. */
const asked = Number(process.argv[2] ?? 500);
/** Moments at which each of these calls stands still before it is killed, and is looked at as if killed. */
const STOPS = 2;
const scratch = mkdtempSync(join(tmpdir(), "coronet-crash-"));
try {
  const prepared = join(scratch, "prepared");
  mkdirSync(prepared);
  const before = await prepareKeepersFolder(prepared);
  for (const [i, scenario] of scenarios.entries()) {
    const times = Math.floor((asked + i) / scenarios.length);
    if (times === 0) continue;
    const whole = join(scratch, "whole");
    cpSync(prepared, whole, { recursive: true });
    const { took } = await killCall(scenario.argv(whole), []);
    rmSync(whole, { recursive: true, force: true });
    const calls = Array.from({ length: times }, (_, k) => {
      const last = (1.1 * took * (k + Math.random())) / times;
      return [...Array.from({ length: STOPS }, () => Math.random() * last).sort((a, b) => a - b), last];
    });
    const report = await killAt(scenario, prepared, before, scratch, calls);
    console.log(
      `${scenario.name}: ${report.killed} killed, ${report.ended} had ended, ${report.stopped} stopped; found as before ${report.before}, as after ${report.after}, pages of both ${report.between}`,
    );
  }
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
