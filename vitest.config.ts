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
          sequence: { groupOrder: 0 },
        },
      },
      {
        // The built program and a real browser, at the pace of a person: one at a time, and not
        // while the others keep the machine busy.
        test: {
          name: "window",
          include: ["tests/end-to-end/**/*.test.ts"],
          fileParallelism: false,
          sequence: { groupOrder: 1 },
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
      {
        // In a virtual machine with real kernel devices, set up by whoever starts the run
        // (scripts/rig.mjs); without it each file says why it does nothing.
        test: {
          name: "devices",
          include: ["tests/devices/**/*.test.ts"],
          fileParallelism: false,
          sequence: { groupOrder: 2 },
          testTimeout: 90_000,
          hookTimeout: 240_000,
        },
      },
    ],
  },
});
