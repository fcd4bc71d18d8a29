import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { bundleBench, killRun } from "../../torture/kill.js";

/**
 * Against a hang only. The test bundles a program and starts a dozen processes, and each of its waits
 * is for an event; on a machine with much else to do, a minute was not enough for them.
 */
const GUARD_MS = 600_000;

/** The short version of `npm run torture`. */
test(
  "a bench that is killed while it captures keeps every promise and goes on",
  async () => {
    const scratch = mkdtempSync(join(tmpdir(), "leadhand-bench-"));
    try {
      const program = await bundleBench(scratch);
      for (const seed of [11, 12, 13]) {
        const { promises, broken } = await killRun(program, seed);
        expect(broken, `seed ${seed}`).toEqual([]);
        expect(promises).toBeGreaterThan(0);
      }
    } finally {
      rmSync(scratch, { recursive: true });
    }
  },
  GUARD_MS,
);
