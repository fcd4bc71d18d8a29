import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    reporters: ["default", "./tests/plain-reporter.ts"],
    projects: [
      {
        test: {
          name: "unit",
          include: ["tests/{protocols,drivers,workbench,electron,renderer}/**/*.test.{ts,tsx}"],
          // A guard against a hang, not a measure of speed: a busy machine must not fail a test.
          testTimeout: 60_000,
        },
      },
      {
        // The built program and a real browser: slow, one at a time.
        test: {
          name: "window",
          include: ["tests/end-to-end/**/*.test.ts"],
          fileParallelism: false,
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
