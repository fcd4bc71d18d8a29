import "../patience.js";
import {
  cpSync,
  mkdirSync,
  readdirSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { readJob } from "../../../workbench/job/read-job.js";
import { createJob } from "../../../workbench/job/job-folder.js";
import { compareRuns, overlaySteps } from "../../../workbench/jobs/compare-runs.js";
import type { Database } from "../../../workbench/jobs/database.js";
import {
  archiveJob,
  deleteJob,
  deletionWords,
  importJob,
} from "../../../workbench/jobs/folders.js";
import { JobIndex } from "../../../workbench/jobs/job-index.js";
import { packResistance, whatFailsMost } from "../../../workbench/jobs/questions.js";
import { newJob, stepResult, temporaryFolder } from "../job/fixtures.js";
import { sampleRun } from "../job/sample-run.js";
import { engines } from "./databases.js";

const tool = { make: "Examplemaker", model: "EX-18", serial: "DEMO-0001", complaint: "Dead" };

/** A finished job with one sag: its resistance in ohms, and whether the pack failed. */
async function sagJob(
  folder: string,
  startedAt: string,
  ohm: number,
  fails = false,
): Promise<void> {
  const job = await createJob(folder, newJob({ startedAt, tool, id: `id-${startedAt}-${ohm}` }));
  const details = { internalResistance: { value: ohm, unit: "Ω", u: 0.002 } };
  const verdict = fails ? "fail" : "pass";
  await job.record({ kind: "step", time_s: 1, result: { ...stepResult({ verdict }), details } });
  await job.record({ kind: "finished", time_s: 2, passed: 1, failed: 0, other: 0 });
  await job.close();
}

describe.each(engines())("the index of jobs on $name", ({ open, stop }) => {
  let database: Database;
  beforeAll(async () => {
    database = await open();
  }, 60_000);
  afterAll(async () => {
    await database.close();
    stop();
  });

  test("is made from the folders, follows their changes, and finds jobs by words and filters", async () => {
    const jobs = temporaryFolder();
    await sampleRun(join(jobs, "one"), { startedAt: "2026-03-02T09:15:00+01:00" });
    await sagJob(join(jobs, "two"), "2025-01-10T10:00:00Z", 0.11);
    mkdirSync(join(jobs, "notes"));
    const index = await JobIndex.open(database, "follows", jobs);
    expect(await index.refresh()).toEqual({ read: 2, forgotten: 0, unreadable: [] });
    expect(await index.refresh()).toMatchObject({ read: 0, forgotten: 0 });
    const rows = (await index.list()).rows.filter(({ bench }) => bench === "follows");
    expect(rows.map(({ folder }) => folder)).toEqual(["one", "two"]);
    expect(rows[0]).toMatchObject({ passed: 1, failed: 2, serial: "DEMO-0001", damaged: false });
    expect(rows[0]?.startedAt).toBe("2026-03-02T08:15:00.000Z");

    const found = async (filter: Parameters<JobIndex["list"]>[0]): Promise<string[]> =>
      (await index.list(filter)).rows
        .filter(({ bench }) => bench === "follows")
        .map(({ folder }) => folder);
    expect(await found({ search: "examplemaker hum" })).toEqual(["one"]);
    expect(await found({ search: "100% '; DROP TABLE job" })).toEqual([]);
    expect(await found({ outcome: "failed" })).toEqual(["one"]);
    expect(await found({ outcome: "passed" })).toEqual(["two"]);
    expect(await found({ from: "2025-01-10", to: "2025-01-10" })).toEqual(["two"]);
    expect(await found({ model: "other" })).toEqual([]);

    await archiveJob(join(jobs, "one"), true);
    renameSync(join(jobs, "two"), join(jobs, "three"));
    expect(await index.refresh()).toMatchObject({ read: 2, forgotten: 1 });
    expect(await found({})).toEqual(["three"]);
    expect(await found({ archived: true })).toEqual(["one"]);
    await archiveJob(join(jobs, "one"), false);
    await index.refresh();
    expect(await found({})).toEqual(["one", "three"]);
  });

  test("names the folders that cannot be read and lists the others", async () => {
    const jobs = temporaryFolder();
    await sagJob(join(jobs, "good"), "2025-01-10T10:00:00Z", 0.1);
    mkdirSync(join(jobs, "bad"));
    writeFileSync(join(jobs, "bad/job.json"), "{");
    const index = await JobIndex.open(database, "names", jobs);
    const { read, unreadable } = await index.refresh();
    expect(read).toBe(1);
    expect(unreadable).toMatchObject([{ folder: "bad" }]);
    expect(unreadable[0]?.why).toContain("job/not-a-job");
  });

  test("benches that share an index keep their own part of it", async () => {
    const [left, right] = [temporaryFolder(), temporaryFolder()];
    await sagJob(join(left, "job"), "2025-02-01T10:00:00Z", 0.1);
    await sagJob(join(right, "job"), "2025-02-02T10:00:00Z", 0.2);
    await (await JobIndex.open(database, "left", left)).refresh();
    const index = await JobIndex.open(database, "right", right);
    await index.refresh();
    rmSync(join(right, "job"), { recursive: true });
    await index.refresh();
    const benches = (await index.list()).rows.map(({ bench }) => bench);
    expect(benches).toContain("left");
    expect(benches).not.toContain("right");
  });

  test("tells what fails most by model, and the resistance of packs over the years", async () => {
    await database.rows("DELETE FROM job");
    const jobs = temporaryFolder();
    for (const [year, ohm] of [
      [2023, 0.08],
      [2024, 0.11],
      [2025, 0.19],
    ] as const) {
      await sagJob(join(jobs, String(year)), `${year}-05-01T10:00:00Z`, ohm, year === 2025);
    }
    await sampleRun(join(jobs, "sample"), { tool: { ...tool, serial: "DEMO-0002" } });
    await sampleRun(join(jobs, "practice"), { practice: true });
    await (await JobIndex.open(database, "asks", jobs)).refresh();
    expect(await whatFailsMost(database)).toEqual([
      { ...named("charger-open", "Charger, open circuit"), failed: 1, judged: 1 },
      { ...named("contacts", "Contacts"), failed: 1, judged: 1 },
      { ...named("pack-open", "Pack, open circuit"), failed: 1, judged: 4 },
    ]);
    const points = await packResistance(database, { serial: "DEMO-0001" });
    expect(points.map(({ at, resistance_ohm }) => [at.slice(0, 4), resistance_ohm])).toEqual([
      ["2023", 0.08],
      ["2024", 0.11],
      ["2025", 0.19],
    ]);
    expect(points[0]).toMatchObject({ model: "EX-18", u_ohm: 0.002 });
    expect(await packResistance(database, { model: "other" })).toEqual([]);
  });
});

function named(step: string, title: string) {
  return { make: tool.make, model: tool.model, step, title };
}

test("a job is imported whole, once, and without what belongs to the other bench", async () => {
  const [jobs, other] = [temporaryFolder(), temporaryFolder()];
  await sampleRun(join(other, "job-7"));
  expect(await importJob(join(other, "job-7"), jobs)).toBe("job-7");
  expect(readdirSync(join(jobs, "job-7")).sort()).toEqual(["job.json", "journal.ndjson", "traces"]);
  await expect(importJob(join(other, "job-7"), jobs)).rejects.toMatchObject({ code: "job/exists" });
  await sampleRun(join(other, "second/job-7"));
  expect(await importJob(join(other, "second/job-7"), jobs)).toBe("job-7-2");
  await expect(importJob(other, jobs)).rejects.toMatchObject({ code: "job/not-a-job" });
  cpSync(join(other, "job-7"), join(other, "linked"), { recursive: true });
  writeFileSync(join(other, "linked/job.json"), "{}");
  await expect(importJob(join(other, "linked"), jobs)).rejects.toMatchObject({
    code: "job/not-a-job",
  });
  expect(readdirSync(jobs).sort()).toEqual(["job-7", "job-7-2"]);
});

test("a link in a job from elsewhere is refused", async () => {
  const [jobs, other] = [temporaryFolder(), temporaryFolder()];
  await sampleRun(join(other, "job"));
  symlinkSync("/etc/passwd", join(other, "job/traces/b.trace"));
  await expect(importJob(join(other, "job"), jobs)).rejects.toThrow("not a plain file");
  expect(readdirSync(jobs)).toEqual([]);
});

test("deleting says what it means, asks for the serial number, and spares a job in use", async () => {
  const jobs = temporaryFolder();
  const folder = join(jobs, "job");
  await sampleRun(folder);
  expect(deletionWords(await readJob(folder))).toContain("DEMO-0001");
  await expect(deleteJob(folder, "DEMO-9999")).rejects.toMatchObject({ code: "job/other-serial" });
  const open = await createJob(join(jobs, "open"), newJob({ tool }));
  await expect(deleteJob(join(jobs, "open"), "DEMO-0001")).rejects.toMatchObject({
    code: "job/in-use",
  });
  await open.close();
  await deleteJob(folder, "DEMO-0001");
  expect(readdirSync(jobs)).toEqual(["open"]);
});

test("two runs are compared step by step, their traces laid over each other", async () => {
  const jobs = temporaryFolder();
  await sampleRun(join(jobs, "first"), {}, 12.1);
  await sampleRun(join(jobs, "second"), {}, 20.9);
  const [first, second] = [join(jobs, "first"), join(jobs, "second")];
  const steps = await compareRuns(first, second);
  const charger = steps.find(({ step }) => step === "charger-open");
  expect([charger?.first?.verdict, charger?.second?.verdict]).toEqual(["fail", "pass"]);
  expect(charger?.change).toBeCloseTo(8.8, 6);
  const overlay = await overlaySteps(first, second, "charger-open", 50, "0.0.0-test");
  expect([overlay.from_s, overlay.first?.time_s.length]).toEqual([-0.5, expect.any(Number)]);
  expect(Math.min(...(overlay.first?.time_s ?? []))).toBeGreaterThanOrEqual(-0.5);
  const highest = (values: readonly (number | null)[] | undefined): number =>
    Math.max(...(values ?? []).map((value) => value ?? 0));
  expect(highest(overlay.first?.high)).toBeCloseTo(12.12, 6);
  expect(highest(overlay.second?.high)).toBeCloseTo(20.92, 6);
});
