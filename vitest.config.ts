import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts", "tests/**/*.test.tsx"],
    // a whole run fits in five minutes on two cores only when both are used
    maxWorkers: 2,
    // modules are loaded once a worker, not once a file: no test changes one
    isolate: false,
    testTimeout: 120_000,
    hookTimeout: 240_000,
  },
});
