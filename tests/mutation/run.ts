import { parseArgs } from "node:util";
import { huntMutants } from "./hunt-mutants.ts";
import { mutate } from "./mutate.ts";

/**
 * `npm run mutation -- statistics/rates [--show]`: the share of mutants of a folder of src that its tests find,
 * and with `--show` those they do not. `--only WORD`: files whose name holds it; `--tests START`: other tests;
 * `--longest MS`: tests that take longer are left out. First, once: `npm ci --prefix tests/mutation`.
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    tests: { type: "string" },
    only: { type: "string", default: "" },
    longest: { type: "string", default: "1000" },
    show: { type: "boolean", default: false },
  },
});
const folder = positionals[0] ?? "statistics/distributions";
const mutated = await mutate(folder, values.only);
const found = await huntMutants(mutated.sandbox, values.tests ?? `${folder}/`, values.longest);

const tally = new Map<string, { found: number; missed: number }>();
let loading = 0;
let slow = 0;
for (const { id, file, line, says } of mutated.mutants) {
  if (!found.found.has(id) && !found.tried.has(id) && found.whileLoading.has(id)) {
    loading++;
    continue;
  }
  if (!found.found.has(id) && found.tooSlow.has(id)) slow++;
  const counts = tally.get(file) ?? { found: 0, missed: 0 };
  tally.set(file, counts);
  if (found.found.has(id)) counts.found++;
  else {
    counts.missed++;
    if (values.show)
      console.log(
        `${file}:${line} ${found.tried.has(id) ? "" : found.tooSlow.has(id) ? "(slow tests alone) " : "(not reached) "}${says}`,
      );
  }
}
const percent = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(1)} %`;
let all = 0;
let hit = 0;
for (const [file, counts] of [...tally].sort()) {
  const sum = counts.found + counts.missed;
  all += sum;
  hit += counts.found;
  console.log(`${percent(counts.found, sum).padStart(8)}  ${counts.found} of ${sum}  ${file}`);
}
console.log(
  `${percent(hit, all).padStart(8)}  ${hit} of ${all}  ${folder}; ${found.hanging} of them never end; ${slow} missed are reached by slow tests, which were left out; ${loading} reached only while a file loads are left out`,
);
for (const test of found.failing) console.log(`fails without a mutant: ${test}`);
