import { cpus } from "node:os";
import { benchGeneralizedMixedModel } from "./generalized-mixed-model.ts";
import { benchLinearMixedModel } from "./linear-mixed-model.ts";
import { benchPedigree } from "./pedigree.ts";
import { benchScale } from "./scale.ts";
import { benchSurvival } from "./survival.ts";

/**
 * `npm run bench`: the main job on whole flocks, and the models at size, each with its seconds, memory and growth with
 * the rows. Words choose benches by name; `scale` takes numbers of goats and `--against FILE`.
 */
const benches: Readonly<Record<string, (words: readonly string[]) => unknown>> = {
  scale: (words) => benchScale(console.log, words),
  "linear mixed models": () => benchLinearMixedModel(console.log),
  "generalized linear mixed models": () => benchGeneralizedMixedModel(console.log),
  survival: () => benchSurvival(console.log),
  pedigree: () => benchPedigree(console.log),
};

const wanted = process.argv.slice(2);
console.log(`Node ${process.version} on ${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}`);
for (const [name, bench] of Object.entries(benches)) {
  if (wanted.length > 0 && !wanted.some((word) => name.includes(word))) continue;
  console.log(`\n${name}`);
  await bench(wanted);
}
