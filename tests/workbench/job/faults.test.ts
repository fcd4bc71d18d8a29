import "../patience.js";
import { appendFileSync, readFileSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test, vi } from "vitest";
import { createJob, openJob } from "../../../workbench/job/job-folder.js";
import { readJob } from "../../../workbench/job/read-job.js";
import { faultyDisk } from "./faulty-disk.js";
import { chunkAt, newJob, stepResult, temporaryFolder } from "./fixtures.js";
import { HandClock } from "./hand-clock.js";

test("a full disk: nothing is called recorded, nothing is lost, and it goes on with room", async () => {
  const folder = temporaryFolder();
  const { disk, faults } = faultyDisk();
  const clock = new HandClock();
  const troubles: (string | null)[] = [];
  const onTrouble = (trouble: { code: string } | null): void =>
    void troubles.push(trouble?.code ?? null);
  const job = await createJob(folder, newJob(), { disk, clock, onTrouble });
  faults.room = 10;
  job.sink.append("a", chunkAt(1, "+19.84\n"));
  const refused = job.record({ kind: "step", time_s: 1, result: stepResult() });
  await expect(refused).rejects.toMatchObject({ code: "job/disk-full" });
  expect((await readJob(folder)).lines).toHaveLength(1);
  expect(troubles).toEqual(["job/disk-full"]);

  faults.room = Infinity;
  clock.advance(1000);
  await vi.waitFor(() => expect(troubles).toEqual(["job/disk-full", null]));
  await job.record({ kind: "step", time_s: 1, result: stepResult() });
  await job.close();
  const read = await readJob(folder);
  expect(read.damage).toEqual([]);
  expect(read.lines.map((line) => line.event.kind)).toEqual(["opened", "step"]);
  expect(read.traces.get("a")).toMatchObject({ rawBytes: 7, sequence: 1 });
});

test("a disk that fills up in the middle of a journal line leaves no half line behind", async () => {
  const folder = temporaryFolder();
  const { disk, faults } = faultyDisk();
  const job = await createJob(folder, newJob(), { disk });
  faults.room = 40;
  const words = "a note longer than forty bytes when it stands in its line";
  await expect(job.record({ kind: "note", time_s: 1, words })).rejects.toThrow("[job/disk-full]");
  faults.room = Infinity;
  await job.record({ kind: "note", time_s: 2, words: "after" });
  await job.close();
  const { lines, damage } = await readJob(folder);
  expect(damage).toEqual([]);
  expect(lines.map((line) => line.n)).toEqual([1, 2]);
});

test("memory is bounded while the disk stays full", async () => {
  const { disk, faults } = faultyDisk();
  const clock = new HandClock();
  const job = await createJob(temporaryFolder(), newJob(), { disk, clock });
  faults.room = 0;
  await expect(job.record({ kind: "note", time_s: 1, words: "x" })).rejects.toThrow("job/");
  const piece = "9".repeat(1 << 20);
  const fill = (): void => {
    for (let n = 0; n < 20; n++) job.sink.append("a", chunkAt(n, piece));
  };
  expect(fill).toThrow("[job/disk-full]");
  faults.room = Infinity;
  await job.close();
});

test("a sync that fails ends the recording: the system may have dropped the bytes", async () => {
  const folder = temporaryFolder();
  const { disk, faults } = faultyDisk();
  const job = await createJob(folder, newJob(), { disk });
  faults.sync = "EIO";
  job.sink.append("a", chunkAt(1, "+19.84\n"));
  const refused = job.record({ kind: "step", time_s: 1, result: stepResult() });
  await expect(refused).rejects.toMatchObject({ code: "job/not-durable" });
  faults.sync = null;
  const after = job.record({ kind: "note", time_s: 2, words: "x" });
  await expect(after).rejects.toMatchObject({ code: "job/not-durable" });
  expect(() => job.sink.append("a", chunkAt(2, "1\n"))).toThrow("[job/not-durable]");
  await expect(job.close()).rejects.toThrow();
  const again = await openJob(folder);
  expect(again.recovery.damage).toEqual([]);
  await again.close();
});

test.each([
  ["EROFS", "job/read-only"],
  ["EACCES", "job/denied"],
])("a disk that refuses with %s is told as %s", async (system, code) => {
  const { disk, faults } = faultyDisk();
  faults.change = system;
  const made = createJob(join(temporaryFolder(), "job"), newJob(), { disk });
  await expect(made).rejects.toMatchObject({ code });
});

test("a torn tail is cut, kept aside and reported with its place", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, newJob());
  job.sink.append("a", chunkAt(1, "+19.84\n"));
  await job.record({ kind: "step", time_s: 1, result: stepResult() });
  await job.close();
  const trace = join(folder, "traces/a.trace");
  const journal = join(folder, "journal.ndjson");
  const whole = { trace: readFileSync(trace).length, journal: readFileSync(journal).length };
  appendFileSync(trace, readFileSync(trace).subarray(0, 20));
  appendFileSync(journal, '{"n":3,"bef');

  const again = await openJob(folder);
  expect(again.recovery.cut).toEqual([
    { file: "journal.ndjson", at: whole.journal, bytes: 11, kept: expect.any(String) as string },
    { file: "traces/a.trace", at: whole.trace, bytes: 20, kept: expect.any(String) as string },
  ]);
  expect(readFileSync(join(folder, again.recovery.cut[0]!.kept), "utf8")).toBe('{"n":3,"bef');
  await again.record({ kind: "note", time_s: 9, words: "goes on" });
  await again.close();
  const read = await readJob(folder);
  expect(read.damage).toEqual([]);
  expect(read.lines.map((line) => line.event.kind)).toEqual(["opened", "step", "resumed", "note"]);
  expect(read.lines[2]?.event).toMatchObject({ cut: again.recovery.cut });
});

test("a line that was cut short is not taken for whole, even where its JSON is", async () => {
  const folder = temporaryFolder();
  await (await createJob(folder, newJob())).close();
  const journal = join(folder, "journal.ndjson");
  truncateSync(journal, readFileSync(journal).length - 1);
  const again = await openJob(folder);
  expect(again.recovery.cut).toHaveLength(1);
  await again.close();
  expect((await readJob(folder)).lines.map((line) => line.n)).toEqual([1]);
});

test("one flipped bit anywhere is found and named; the rest stays readable", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, newJob());
  for (let n = 1; n <= 3; n++) {
    job.sink.append("a", chunkAt(n, `+19.8${n}\n`));
    await job.record({ kind: "note", time_s: n, words: `note ${n}` });
  }
  await job.close();
  for (const name of ["traces/a.trace", "journal.ndjson"]) {
    const path = join(folder, name);
    const good = readFileSync(path);
    for (let at = 0; at < good.length; at += 7) {
      const bad = Buffer.from(good);
      bad[at] = bad[at]! ^ (1 << (at % 8));
      writeFileSync(path, bad);
      const read = await readJob(folder);
      const trace = read.traces.get("a")!;
      const torn = trace.length > trace.wholeLength || read.journal.tornLength > 0;
      const found = torn || read.damage.some((damage) => damage.file === name);
      expect(found, `bit ${at % 8} of byte ${at} of ${name}`).toBe(true);
      expect(read.lines.length).toBeGreaterThanOrEqual(2);
      expect(trace.sequence).toBeGreaterThanOrEqual(2);
    }
    writeFileSync(path, good);
  }
  expect((await readJob(folder)).damage).toEqual([]);
});
