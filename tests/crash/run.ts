import { cpSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { killCall } from "./kill-call.ts";
import { killAt, prepareKeepersFolder, scenarios } from "./kill-scenarios.ts";

/** `npm run crash -- 500`: so many kills at random moments, spread over the verbs. */
const asked = Number(process.argv[2] ?? 500);
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
    const { took } = await killCall(scenario.argv(whole), null);
    rmSync(whole, { recursive: true, force: true });
    const moments = Array.from({ length: times }, (_, k) => (1.1 * (k + Math.random())) / times);
    const report = await killAt(scenario, prepared, before, scratch, moments, took);
    console.log(
      `${scenario.name}: ${report.killed} killed, ${report.ended} had ended; found as before ${report.before}, as after ${report.after}, pages of both ${report.between}`,
    );
  }
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
