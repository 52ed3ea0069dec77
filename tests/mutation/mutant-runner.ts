import { appendFileSync, readFileSync } from "node:fs";
import { VitestTestRunner } from "vitest/runners";
import { getFn, getHooks } from "vitest/suite";
import type { MutantSpace } from "./mutant-space.ts";

type RunnerTask = Parameters<VitestTestRunner["onAfterRunTask"]>[0];
type Test = Parameters<VitestTestRunner["onAfterTryTask"]>[0];

/** Tests that alone take longer than this many milliseconds are not held against mutants one by one. */
const LONGEST = Number(process.env.MUTATION_LONGEST ?? 1000);
/** A mutant reached so many times as often as the plain code counts as one that never ends. */
const TIMES_REACHED = 10;

const journal = process.env.MUTATION_JOURNAL!;
const shared = globalThis as { __stryker__?: MutantSpace };
shared.__stryker__ ??= {};
const space = shared.__stryker__;

/**
 * Runs each test once as it is, noting which mutants it reaches, and then again with each of these switched on
 * that no test has found yet. Nothing is loaded anew between two mutants. The journal takes `+id test` when a
 * mutant is switched on, `-id` when a test finds it, `?id` when it is reached while a file is loaded, `>id` when
 * a test that reaches it takes too long, and `!test` when a test fails without a mutant.
 */
export default class MutantRunner extends VitestTestRunner {
  readonly #known = new Set(readFileSync(journal, "utf8").split("\n"));

  override onBeforeTryTask(test: RunnerTask): void {
    super.onBeforeTryTask(test);
    space.currentTestId = test.id;
  }

  override async onAfterRunTask(test: RunnerTask): Promise<void> {
    super.onAfterRunTask(test);
    delete space.currentTestId;
    if (test.type !== "test") return;
    const reached = space.mutantCoverage?.perTest[test.id] ?? {};
    const took = test.result?.duration ?? 0;
    if (test.result?.state !== "pass") note(`!${test.name}`);
    else if (took <= LONGEST) await this.#holdAgainst(test, reached);
    else for (const id of Object.keys(reached)) note(`>${id}`);
  }

  override onAfterRunFiles(): void {
    super.onAfterRunFiles();
    for (const id of Object.keys(space.mutantCoverage?.static ?? {})) note(`?${id}`);
  }

  async #holdAgainst(test: Test, reached: Readonly<Record<string, number>>): Promise<void> {
    const ids = Object.keys(reached).filter(
      (id) => !this.#known.has(`-${id}`) && !this.#known.has(`+${id} ${test.id}`),
    );
    for (const id of ids) {
      note(`+${id} ${test.id}`);
      space.activeMutant = id;
      space.hitCount = 0;
      space.hitLimit = reached[id]! * TIMES_REACHED + 1000;
      const passes = await passesAgain(test);
      delete space.activeMutant;
      if (passes) continue;
      this.#known.add(`-${id}`);
      note(`-${id}`);
    }
    if (ids.length > 0 && !(await passesAgain(test))) note(`!${test.name}`);
  }
}

async function passesAgain(test: Test): Promise<boolean> {
  const suites = [];
  for (let suite = test.suite ?? test.file; suite !== undefined; suite = suite.suite!) suites.unshift(suite);
  if (suites[0] !== test.file) suites.unshift(test.file);
  try {
    for (const suite of suites)
      for (const hook of getHooks(suite).beforeEach) await hook(test.context as never, suite as never);
    await getFn(test)();
    return true;
  } catch {
    return false;
  } finally {
    for (const suite of suites.reverse())
      for (const hook of getHooks(suite).afterEach)
        await Promise.resolve(hook(test.context as never, suite as never)).catch(() => undefined);
  }
}

function note(line: string): void {
  appendFileSync(journal, `${line}\n`);
}
