import { availableParallelism } from "node:os";
import { defineConfig } from "vitest/config";

/** The runner would leave one core idle, which on a machine with two is half of it. */
const maxWorkers = Math.max(2, availableParallelism());

/** The simulated bench at full speed: they keep a core busy and need no window. */
const simulated = [
  "tests/end-to-end/claim-ready.test.ts",
  "tests/end-to-end/every-kind.test.ts",
  "tests/end-to-end/same-journal.test.ts",
];
/** They measure time or load on the machine: one at a time, with nothing beside them. */
const timed = ["tests/end-to-end/time-lost.test.ts", "tests/end-to-end/frozen-window.test.ts"];

export default defineConfig({
  test: {
    reporters: ["default", "./tests/plain-reporter.ts"],
    projects: [
      {
        test: {
          name: "unit",
          include: [
            ...simulated,
            "tests/{protocols,drivers,workbench,electron,renderer}/**/*.test.{ts,tsx}",
          ],
          maxWorkers,
          // A guard against a hang, not a measure of speed: a busy machine must not fail a test.
          testTimeout: 60_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        // The built program and a real browser at the pace of a person: mostly waiting, so two at
        // once, but not while the others keep the machine busy.
        test: {
          name: "window",
          include: ["tests/end-to-end/**/*.test.ts"],
          exclude: [...simulated, ...timed],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
      {
        test: {
          name: "timed",
          include: timed,
          fileParallelism: false,
          sequence: { groupOrder: 2 },
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
          // An emulated kernel on a busy host can miss any deadline once; what is broken fails twice.
          retry: 1,
          sequence: { groupOrder: 3 },
          testTimeout: 90_000,
          hookTimeout: 240_000,
        },
      },
    ],
  },
});
