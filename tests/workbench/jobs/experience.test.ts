import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { createJob } from "../../../workbench/job/job-folder.js";
import { learnedExperience } from "../../../workbench/jobs/experience.js";
import { withExperience } from "../../../workbench/models/experience.js";
import { modelOf } from "../../../workbench/models/kinds.js";
import { bundledPlan } from "../../../workbench/plans/bundled.js";
import "../patience.js";

/** A shop's jobs folder: five drills with bad switches, one sound, one practice, one not finished. */
const model = modelOf("cordless-brushed")!;
let jobs: string;

async function job(name: string, condemned: string | null, practice = false): Promise<void> {
  const made = await createJob(join(jobs, name), {
    startedAt: "2026-01-02T10:00:00.000Z",
    programVersion: "0.0.0",
    practice,
    tool: { make: "Demo Works", model: "DW-18 Sample", serial: name, complaint: "" },
    meters: [],
    plan: bundledPlan("cordless-brushed"),
  });
  if (condemned !== null) {
    const parts = model.parts.map(({ id, label }) => ({
      id,
      label,
      state: id === condemned ? ("condemned" as const) : ("cleared" as const),
      odds: id === condemned ? 0.99 : 0.001,
      reason: null,
    }));
    await made.record({ kind: "conclusion", time_s: 1, words: "told", parts });
  }
  await made.close();
}

beforeAll(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-experience-"));
  for (let n = 1; n <= 5; n += 1) await job(`switch-${n}`, "switch");
  await job("sound", "none");
  await job("practice", "gear-train", true);
  await job("cut-off", null);
});
afterAll(() => rm(jobs, { recursive: true, force: true }));

test("the shop's own closed jobs move the odds of what they found, and of nothing else", async () => {
  const experience = await learnedExperience(model, jobs);
  expect(experience?.tools).toBe(6);
  const odds = (of: typeof model, id: string): number =>
    of.parts.find((part) => part.id === id)!.modes.reduce((sum, mode) => sum + mode.odds, 0);
  const learned = withExperience(model, experience!);
  // A Dirichlet prior worth 100 tools: (prior × 100 + count) / (100 + tools).
  expect(odds(learned, "switch")).toBeCloseTo((odds(model, "switch") * 100 + 5) / 106, 10);
  expect(odds(learned, "gear-train")).toBeCloseTo((odds(model, "gear-train") * 100) / 106, 10);
});

test("a folder without a job of the kind teaches nothing", async () => {
  expect(await learnedExperience(modelOf("charger")!, jobs)).toBeNull();
  expect(await learnedExperience(model, join(jobs, "nowhere"))).toBeNull();
});
