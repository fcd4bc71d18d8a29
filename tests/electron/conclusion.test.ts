import { readFileSync, writeFileSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { systemClock } from "../../drivers/clock.js";
import { startEngine } from "../../electron/run/engine.js";
import { prepareRun } from "../../electron/run/prepare.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import { runProgram } from "../../electron/cli/program.js";
import { replayJob } from "../../workbench/job/compare-replay.js";
import { formatLine, hashOf, NO_LINE_BEFORE } from "../../workbench/job/journal-line.js";
import { readJob } from "../../workbench/job/read-job.js";
import { programVersion } from "../../electron/version.js";
import { scriptedIo } from "./scripted-io.js";

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-conclusion-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

const practise = (job: string, ...more: string[]) =>
  runProgram(["practice", "--seed", "4", "--job", job, ...more], scriptedIo());

test("a finished run records what it concludes of the parts, and replay comes to the same", async () => {
  const job = join(folder, "job");
  await practise(job, "--fault", "switch-burnt");
  const { lines } = await readJob(job);
  const last = lines.at(-1)?.event;
  expect(last).toMatchObject({ kind: "conclusion", words: "At fault: Trigger switch." });
  const parts = last?.kind === "conclusion" ? last.parts : [];
  expect(parts.find(({ state }) => state === "condemned")).toMatchObject({
    id: "switch",
    reason: expect.any(String) as string,
  });
  const replay = await replayJob(job, programVersion());
  expect(replay).toMatchObject({ agrees: true, conclusion: { agrees: true, differences: [] } });
});

test("what the shop had learned is recorded with the job: replay reasons from it, not from the odds that come with the model", async () => {
  const meter = "practice:cordless-brushed?fault=brush-worn&seed=4&pace=at-once";
  const job = join(folder, "job");
  const request = { plan: "cordless-brushed", meters: [meter], folder: job };
  const prepared = await prepareRun(request, folder, systemClock);
  const experience = { tools: 300, faults: [{ part: "gear-train", mode: "jam", count: 120.5 }] };
  const engine = await startEngine({
    ...prepared,
    experience,
    reasoning: new DirectReasoning(prepared.plan, {}, experience),
    emit: () => undefined,
  });
  await engine.ended;
  expect((await readJob(job)).file.experience).toEqual(experience);
  expect(await replayJob(job, programVersion())).toMatchObject({ conclusion: { agrees: true } });
  const path = join(job, "job.json");
  const unlearned = { ...(JSON.parse(readFileSync(path, "utf8")) as object), experience: null };
  writeFileSync(path, JSON.stringify(unlearned));
  expect(await replayJob(job, programVersion())).toMatchObject({ conclusion: { agrees: false } });
});

test("a conclusion that was written in afterwards is found out, though chain and checksums hold", async () => {
  const job = join(folder, "job");
  await practise(job);
  let before = NO_LINE_BEFORE;
  let text = "";
  for (const line of (await readJob(job)).lines) {
    const event =
      line.event.kind === "conclusion" ? { ...line.event, words: "At fault: Motor." } : line.event;
    const mended = formatLine({ ...line, before, event });
    before = hashOf(mended);
    text += `${mended}\n`;
  }
  expect(text).not.toBe(readFileSync(join(job, "journal.ndjson"), "utf8"));
  writeFileSync(join(job, "journal.ndjson"), text);
  const io = scriptedIo();
  expect(await runProgram(["replay", job], io)).toBe(1);
  expect(io.lines.join("\n")).toContain('recorded "At fault: Motor.", now "No fault found');
});
