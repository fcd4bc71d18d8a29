import { existsSync, readFileSync } from "node:fs";
import { afterAll, beforeAll, beforeEach, describe, test } from "vitest";
import { pause } from "./guest-job.js";
import { rig } from "./rig.js";

/*
 * The script that starts a run of all tests (scripts/rig.mjs) sets the virtual machine up while the
 * other tests run and leaves word here.
 */
const { env } = process;
const until_ms = Number(env["LEADHAND_RIG_UNTIL"] ?? 0);

/** Why there is no virtual machine to test in; null: there is one. */
const obstacle = await findObstacle();

async function findObstacle(): Promise<string | null> {
  const told = env["LEADHAND_RIG_OBSTACLE"];
  if (told !== undefined) return told;
  const result = env["LEADHAND_RIG_RESULT"];
  if (result === undefined) return 'only "npm test" and "npm run test:devices" set it up';
  while (!existsSync(result)) {
    if (Date.now() > until_ms) return "its set-up did not end in time";
    await pause(500);
  }
  const status = readFileSync(result, "utf8").trim();
  return status === "0" ? null : `its set-up failed (status ${status}): ${lastWords()}`;
}

function lastWords(): string {
  const log = readFileSync(env["LEADHAND_RIG_LOG"] ?? "", "utf8");
  return log.trim().split("\n").slice(-3).join(" / ");
}

/** Tests in the virtual machine, freshly booted, with so many USB serial adapters plugged in. */
export function onRig(title: string, adapters: number, tests: () => void): void {
  describe(`${title}, in the virtual machine`, () => {
    if (obstacle !== null) {
      test("is there", ({ skip }) => skip(`device tests: ${obstacle}`));
      return;
    }
    beforeAll(() => rig.start(adapters));
    afterAll(() => rig.stop());
    beforeEach(({ skip }) =>
      skip(Date.now() > until_ms, "device tests: no time is left in this run"),
    );
    tests();
  });
}
