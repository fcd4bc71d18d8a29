import "../patience.js";
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { replayJob } from "../../../workbench/job/compare-replay.js";
import { createJob, openJob } from "../../../workbench/job/job-folder.js";
import { isDerived } from "../../../workbench/job/journal-entry.js";
import type { JournalEvent } from "../../../workbench/job/journal-event.js";
import { formatLine, hashOf, NO_LINE_BEFORE } from "../../../workbench/job/journal-line.js";
import { readJob } from "../../../workbench/job/read-job.js";
import { resumeRunner } from "../../../workbench/job/resume.js";
import { temporaryFolder } from "./fixtures.js";
import { SampleBench, sampleJob, sampleLines, sampleRun } from "./sample-run.js";

const VERSION = "0.0.0-test";

test("a run is told only when it is recorded, and replays to the same verdicts", async () => {
  const folder = temporaryFolder();
  const bench = await sampleRun(folder);
  const steps = bench.told.filter((event) => event.kind === "step");
  expect(steps.map(({ result }) => [result.step, result.verdict])).toEqual([
    ["pack-open", "pass"],
    ["charger-open", "fail"],
    ["contacts", "fail"],
  ]);
  const replay = await replayJob(folder, VERSION);
  expect(replay).toMatchObject({ agrees: true, steps: 3, differences: [], unrecorded: [] });
  expect(replay.readings).toBe(120);
});

test("the same bytes give the same journal to the byte", async () => {
  const [one, two] = [temporaryFolder(), temporaryFolder()];
  await sampleRun(one, { startedAt: "2026-03-02T09:15:00Z" });
  await sampleRun(two, { startedAt: "2026-10-24T18:00:00Z" });
  const journal = (folder: string): string => readFileSync(join(folder, "journal.ndjson"), "utf8");
  expect(journal(one)).toBe(journal(two));
});

test("a meter whose calibration ran out before the run is said in the record", async () => {
  const folder = temporaryFolder();
  const bench = await sampleRun(folder, { startedAt: "2026-12-24T18:00:00Z" });
  const said = bench.told.flatMap((event) => (event.kind === "step" ? [event.result.doubt] : []));
  expect(said[0]).toBe("out of calibration: that of Example meter ran out on 2026-11-20");
});

test("a journal that claims another verdict is found out, with what and why", async () => {
  const folder = temporaryFolder();
  await sampleRun(folder, { programVersion: "0.0.9" });
  // A forger who knows the format mends the chain and the checksums, too.
  let before = NO_LINE_BEFORE;
  let text = "";
  for (const line of (await readJob(folder)).lines) {
    const event = forged(line.event);
    const mended = formatLine({ ...line, before, event });
    before = hashOf(mended);
    text += `${mended}\n`;
  }
  writeFileSync(join(folder, "journal.ndjson"), text);
  expect((await readJob(folder)).damage).toEqual([]);
  const replay = await replayJob(folder, VERSION);
  expect(replay.agrees).toBe(false);
  const [difference] = replay.differences;
  expect(difference).toMatchObject({ step: "charger-open", fields: ["value", "verdict"] });
  expect(difference?.why).toContain("would be fail instead of pass");
  expect(difference?.why).toContain("version 0.0.9");
});

function forged(event: JournalEvent): JournalEvent {
  if (event.kind !== "step" || event.result.step !== "charger-open") return event;
  return { ...event, result: { ...event.result, value: 21.1, verdict: "pass" } };
}

test("a verdict that was changed in job.json's limits is found out", async () => {
  const folder = temporaryFolder();
  await sampleRun(folder);
  const path = join(folder, "job.json");
  writeFileSync(path, readFileSync(path, "utf8").replace('"low": 20,', '"low": 10,'));
  const replay = await replayJob(folder, VERSION);
  expect(replay.differences.map(({ step }) => step)).toEqual(["charger-open"]);
  expect(replay.differences[0]?.fields).toContain("limits");
});

test("a run killed between any two lines: those that were missing come when it goes on", async () => {
  const whole = temporaryFolder();
  await sampleRun(whole);
  const journal = readFileSync(join(whole, "journal.ndjson"), "utf8").trimEnd().split("\n");
  const told = (await readJob(whole)).lines.flatMap(({ event }) =>
    isDerived(event) ? [event] : [],
  );
  const confirmed = journal.findIndex((line) => line.includes('"kind":"confirm"'));
  for (let kept = 2; kept <= journal.length; kept++) {
    const folder = join(temporaryFolder(), "job");
    cpSync(whole, folder, { recursive: true });
    writeFileSync(join(folder, "journal.ndjson"), `${journal.slice(0, kept).join("\n")}\n`);
    const cut = await replayJob(folder, VERSION);
    expect(cut).toMatchObject({ agrees: true, differences: [] });
    const again = await openJob(folder);
    await resumeRunner(again);
    await again.close();
    const { lines } = await readJob(folder);
    const now = lines.flatMap(({ event }) => (isDerived(event) ? [event] : []));
    // What a person had not yet confirmed is not made up.
    expect(now).toEqual(kept > confirmed ? told : told.slice(0, -2));
    expect(await replayJob(folder, VERSION)).toMatchObject({ agrees: true, differences: [] });
  }
});

test("an interrupted run goes on from its raw bytes", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, sampleJob());
  const first = new SampleBench(job);
  first.start();
  const lines = [...sampleLines()];
  for (const { time_s, text } of lines.slice(0, 75)) first.bytes(time_s, text);
  await first.settled();
  await job.close();

  const again = await openJob(folder);
  const runner = (await resumeRunner(again))?.runner ?? null;
  expect(runner?.current).toBe("charger-open");
  const second = new SampleBench(again, runner!);
  const shift_s = Number(process.hrtime.bigint() - again.origin_ns) / 1e9;
  for (const { time_s, text } of lines.slice(75)) second.bytes(time_s + shift_s, text);
  second.push({ kind: "skip", step: "contacts", reason: "enough", time_s: shift_s + 20 });
  await second.settled();
  await again.close();
  const replay = await replayJob(folder, VERSION);
  expect(replay).toMatchObject({ agrees: true, steps: 3 });
});
