import { spawn } from "node:child_process";
import { appendFileSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

export interface Hunt {
  /** Mutants that a test found, or that never ended. */
  readonly found: ReadonlySet<string>;
  /** Mutants that were switched on at all. */
  readonly tried: ReadonlySet<string>;
  readonly whileLoading: ReadonlySet<string>;
  readonly tooSlow: ReadonlySet<string>;
  readonly hanging: number;
  /** Tests that failed without a mutant, before or after. */
  readonly failing: readonly string[];
}

/** Seconds without a line in the journal after which a mutant never ends. */
const HANGS_AFTER_SECONDS = 30;

/** Holds every file of tests whose path in `tests` begins so against the mutants of a sandbox, one after another. */
export async function huntMutants(sandbox: string, begins: string, longest: string): Promise<Hunt> {
  const journal = join(sandbox, "journal");
  writeFileSync(journal, "");
  const tests = readdirSync(join(sandbox, "tests"), { recursive: true, encoding: "utf8" })
    .filter((name) => name.startsWith(begins) && /\.test\.tsx?$/.test(name))
    .map((name) => join("tests", name))
    .sort();
  let hanging = 0;
  for (const test of tests) {
    // a file is taken up again after a mutant that never ends, which counts as found
    while (!(await runToTheEnd(sandbox, journal, test, longest))) {
      const last = marked(journal, "+").at(-1);
      if (last === undefined) throw new Error(`${test} hangs without a mutant`);
      appendFileSync(journal, `-${last}\n`);
      hanging++;
    }
    console.error(`${test}: ${new Set(marked(journal, "-")).size} found so far`);
  }
  return {
    found: new Set(marked(journal, "-")),
    tried: new Set(marked(journal, "+")),
    whileLoading: new Set(marked(journal, "?")),
    tooSlow: new Set(marked(journal, ">")),
    hanging,
    failing: [...new Set(marked(journal, "!"))],
  };
}

/** False when it was ended because nothing went on. */
function runToTheEnd(sandbox: string, journal: string, test: string, longest: string): Promise<boolean> {
  const child = spawn(
    process.execPath,
    [join("node_modules", "vitest", "vitest.mjs"), "run", "--config", "tests/mutation/vitest.config.ts"],
    {
      cwd: sandbox,
      stdio: "ignore",
      env: { ...process.env, MUTATION_TEST: test, MUTATION_JOURNAL: journal, MUTATION_LONGEST: longest },
    },
  );
  return new Promise((resolve) => {
    let before = linesOf(journal).length;
    let since = performance.now();
    const watch = setInterval(() => {
      const now = linesOf(journal).length;
      if (now !== before) {
        before = now;
        since = performance.now();
      } else if (performance.now() - since > HANGS_AFTER_SECONDS * 1000) child.kill("SIGKILL");
    }, 1000);
    child.once("close", (_code, signal) => {
      clearInterval(watch);
      resolve(signal === null);
    });
  });
}

function marked(journal: string, mark: string): readonly string[] {
  return linesOf(journal)
    .filter((line) => line.startsWith(mark))
    .map((line) => (mark === "!" ? line.slice(1) : line.slice(1).split(" ")[0]!));
}

function linesOf(path: string): readonly string[] {
  return readFileSync(path, "utf8").split("\n");
}
