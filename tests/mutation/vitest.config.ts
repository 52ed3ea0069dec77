import { defineConfig } from "vitest/config";

/** One file of tests at a time, in a process of its own, as given by `run.ts`. */
export default defineConfig({
  test: {
    include: [process.env.MUTATION_TEST!],
    runner: "tests/mutation/mutant-runner.ts",
    pool: "threads",
    maxWorkers: 1,
    testTimeout: 120_000,
    hookTimeout: 240_000,
  },
});
