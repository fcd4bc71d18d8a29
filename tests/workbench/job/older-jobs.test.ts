import { join } from "node:path";
import { cpSync } from "node:fs";
import { expect, test } from "vitest";
import { replayJob } from "../../../workbench/job/compare-replay.js";
import { openJob } from "../../../workbench/job/job-folder.js";
import { resumeRunner } from "../../../workbench/job/resume.js";
import { temporaryFolder } from "./fixtures.js";

/**
 * A job as the program wrote it before the places in the journal were ends of readings: two meters
 * in pieces that are no lines, one of them unplugged in the middle of a step and back with it.
 */
const OLDER = join(import.meta.dirname, "version-1");

test("a job of version 1 replays to what it says", async () => {
  const replay = await replayJob(OLDER, "0.1.0");
  expect(replay).toMatchObject({ steps: 3, differences: [], damage: [] });
  // The odds are those of the power path's model as it was then: it has learned since, and says so.
  expect(replay.conclusion?.recorded).toBe(replay.conclusion?.now);
});

test("and still does when this program has gone on with it", async () => {
  const folder = join(temporaryFolder(), "job");
  cpSync(OLDER, folder, { recursive: true });
  const job = await openJob(folder);
  await resumeRunner(job);
  await job.record({ kind: "note", time_s: 99, words: "looked at again" });
  await job.close();
  expect(await replayJob(folder, "0.1.0")).toMatchObject({ steps: 3, differences: [] });
});
