import { nearest } from "../src/records/nearest.ts";
import { processRim, type Rim } from "./rim.ts";
import { storageTrouble } from "./storage-trouble.ts";
import { Unusable } from "./unusable.ts";
import { helpOf, parseCall, type Verb } from "./verb.ts";

/** Every verb, loaded only when called. */
const verbs: Readonly<Record<string, () => Promise<Verb>>> = {
  run: async () => (await import("./verbs/run.ts")).run,
  demo: async () => (await import("./verbs/demo.ts")).demo,
  template: async () => (await import("./verbs/template.ts")).template,
  check: async () => (await import("./verbs/check.ts")).check,
  ingest: async () => (await import("./verbs/ingest.ts")).ingest,
  undo: async () => (await import("./verbs/undo.ts")).undo,
  analyse: async () => (await import("./verbs/analyse.ts")).analyse,
  report: async () => (await import("./verbs/report.ts")).report,
  worklist: async () => (await import("./verbs/worklist.ts")).worklist,
  plan: async () => (await import("./verbs/plan.ts")).plan,
  mating: async () => (await import("./verbs/mating.ts")).mating,
  query: async () => (await import("./verbs/query.ts")).query,
  export: async () => (await import("./verbs/export.ts")).exportVerb,
  backup: async () => (await import("./verbs/backup.ts")).backup,
  notebook: async () => (await import("./verbs/notebook.ts")).notebook,
};

/** Runs one call and returns its exit code: 0 done, 1 the program failed, 2 unusable words or input, 3 set aside with --strict. */
export async function coronet(argv: readonly string[], rim: Rim): Promise<number> {
  const [name, ...rest] = argv;
  if (name === undefined || name === "--help" || name === "help") {
    rim.print(await overview());
    return name === undefined ? 2 : 0;
  }
  const load = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (!load) {
    const near = nearest(name, Object.keys(verbs));
    rim.tell(`coronet has no verb ${name}${near === null ? "" : `; did you mean ${near}?`}`);
    return 2;
  }
  const verb = await load();
  try {
    if (rest.includes("--help")) {
      rim.print(helpOf(verb));
      return 0;
    }
    return await verb.run(parseCall(verb, rest), rim);
  } catch (error) {
    if (error instanceof Unusable) {
      rim.tell(error.message);
      return 2;
    }
    const trouble = storageTrouble(error);
    if (trouble !== null) {
      rim.tell(rest.includes("--debug") ? `${trouble}\n${(error as Error).stack}` : trouble);
      return 2;
    }
    rim.tell(`The program itself failed: ${(error as Error).message}`);
    rim.tell(
      rest.includes("--debug") ? String((error as Error).stack) : "Run it again with --debug to see where.",
    );
    return 1;
  }
}

async function overview(): Promise<string> {
  const all = await Promise.all(Object.values(verbs).map((load) => load()));
  const lines = all.map((verb) => [`${verb.name} ${verb.words}`.trim(), verb.says] as const);
  const wide = Math.max(...lines.map(([usage]) => usage.length));
  return ["coronet VERB …", "", ...lines.map(([usage, says]) => `  ${usage.padEnd(wide)}  ${says}`)].join(
    "\n",
  );
}

if (process.argv[1] !== undefined && /coronet\.(m?js|ts)$|\/coronet$/.test(process.argv[1])) {
  process.exitCode = await coronet(process.argv.slice(2), processRim());
}
