import { cpus } from "node:os";
import { benchGeneralizedMixedModel } from "./generalized-mixed-model.ts";
import { benchLinearMixedModel } from "./linear-mixed-model.ts";
import { benchPedigree } from "./pedigree.ts";
import { benchSurvival } from "./survival.ts";

/** `npm run bench`: the models at size, each with its seconds, memory and growth with the rows. */
const benches = {
  "linear mixed models": benchLinearMixedModel,
  "generalized linear mixed models": benchGeneralizedMixedModel,
  survival: benchSurvival,
  pedigree: benchPedigree,
} as const;

const wanted = process.argv.slice(2);
console.log(`Node ${process.version} on ${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}`);
for (const [name, bench] of Object.entries(benches)) {
  if (wanted.length > 0 && !wanted.some((word) => name.includes(word))) continue;
  console.log(`\n${name}`);
  await bench(console.log);
}
