import { parseArgs } from "node:util";
import { openFuzz } from "./take-hostile.ts";

/** `npm run fuzz -- --seconds N [--seed S]`: hostile sheets for so long; a failure names its seed. */
const { values } = parseArgs({
  options: { seconds: { type: "string", default: "60" }, seed: { type: "string", default: "1000" } },
});
const until = performance.now() + Number(values.seconds) * 1000;
const fuzz = await openFuzz();
let failed = 0;
for (let seed = Number(values.seed); performance.now() < until; seed++) {
  try {
    await fuzz.take(seed);
  } catch (error) {
    failed++;
    console.error((error as Error).message);
  }
}
await fuzz.close();
console.log(JSON.stringify(fuzz.tally));
const megabytes = process.resourceUsage().maxRSS / 1024;
console.log(`${failed} failed; at most ${megabytes.toFixed(0)} MB`);
if (failed > 0) process.exitCode = 1;
