import "../patience.js";
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test, vi } from "vitest";
import { createJob, openJob } from "../../../workbench/job/job-folder.js";
import { readJob } from "../../../workbench/job/read-job.js";
import { readTraceItems } from "../../../workbench/job/trace-scan.js";
import { nodeDisk } from "../../../workbench/job/disk.js";
import { chunkAt, newJob, stepResult, temporaryFolder } from "./fixtures.js";
import { HandClock } from "./hand-clock.js";

async function traceText(folder: string, channel: string): Promise<string> {
  let text = "";
  for await (const item of readTraceItems(nodeDisk, join(folder, `traces/${channel}.trace`))) {
    if (item.kind !== "block") throw new Error(`${item.kind} at ${item.from}`);
    for (const chunk of item.chunks) text += new TextDecoder().decode(chunk.bytes);
  }
  return text;
}

test("what was recorded is read back: journal, traces, places in the traces", async () => {
  const folder = join(temporaryFolder(), "job");
  const job = await createJob(folder, newJob());
  job.sink.append("a", chunkAt(0.5, "+19.83\n"));
  job.sink.append("b", chunkAt(0.6, "0.0\n"));
  job.sink.append("a", chunkAt(1.0, "+19.84\n+19"));
  job.readTo("a", 14);
  job.readTo("b", 4);
  await job.record({ kind: "step", time_s: 1, result: stepResult() });
  job.sink.append("a", chunkAt(1.5, ".85\n"));
  await job.close();

  const read = await readJob(folder);
  expect(read.damage).toEqual([]);
  expect(read.lines.map((line) => line.event.kind)).toEqual(["opened", "step"]);
  expect(read.lines[1]?.at).toEqual({ a: 14, b: 4 });
  expect(await traceText(folder, "a")).toBe("+19.83\n+19.84\n+19.85\n");
  expect(read.traces.get("a")?.last_ns).toBe(1_500_000_000n);
  expect(read.file.tool.serial).toBe("DEMO-0001");
});

test("when record resolves, trace and line are on disk", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, newJob(), { clock: new HandClock() });
  job.sink.append("a", chunkAt(1, "+19.84\n"));
  await job.record({ kind: "step", time_s: 1, result: stepResult() });
  expect(readFileSync(join(folder, "journal.ndjson"), "utf8")).toContain('"pack-open"');
  expect(await traceText(folder, "a")).toBe("+19.84\n");
  await job.close();
});

test("blocks are on disk within 100 ms of the clock", async () => {
  const folder = temporaryFolder();
  const clock = new HandClock();
  const job = await createJob(folder, newJob(), { clock });
  job.sink.append("a", chunkAt(0, "+19.84\n"));
  clock.advance(100);
  const trace = join(folder, "traces/a.trace");
  await vi.waitFor(() => expect(statSync(trace).size).toBeGreaterThan(0));
  expect(await traceText(folder, "a")).toBe("+19.84\n");
  await job.close();
});

test("each line carries the SHA-256 of the line before, as any tool computes it", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, newJob());
  await job.record({ kind: "note", time_s: 1, words: "Ω, µ and “quotes”" });
  await job.record({ kind: "note", time_s: 2, words: "second" });
  await job.close();
  const lines = readFileSync(join(folder, "journal.ndjson"), "utf8").trimEnd().split("\n");
  expect(lines).toHaveLength(3);
  let before = "0".repeat(64);
  for (const line of lines) {
    expect((JSON.parse(line) as { before: string }).before).toBe(before);
    before = createHash("sha256").update(line, "utf8").digest("hex");
  }
});

test("the same events give the same journal to the byte; the time of day is in job.json", async () => {
  const journals = [];
  for (const startedAt of ["2026-03-02T09:15:00Z", "2027-08-09T19:45:00Z"]) {
    const folder = temporaryFolder();
    const job = await createJob(folder, newJob({ startedAt }));
    job.sink.append("a", chunkAt(1, "+19.84\n"));
    await job.record({ kind: "step", time_s: 1, result: stepResult() });
    await job.close();
    journals.push(readFileSync(join(folder, "journal.ndjson"), "utf8"));
  }
  expect(journals[0]).toBe(journals[1]);
  expect(journals[0]).not.toContain("2026");
});

test("a second process is refused, and says who has it", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, newJob());
  await expect(openJob(folder)).rejects.toMatchObject({ code: "job/in-use" });
  await expect(openJob(folder)).rejects.toThrow(`process ${process.pid}`);
  await job.close();
  const again = await openJob(folder);
  await again.close();
});

test("a folder that holds other things is refused and left as it was", async () => {
  const folder = temporaryFolder();
  writeFileSync(join(folder, "holiday.txt"), "hands off");
  await expect(createJob(folder, newJob())).rejects.toMatchObject({ code: "job/not-empty" });
  await expect(openJob(folder)).rejects.toMatchObject({ code: "job/not-a-job" });
  expect(await nodeDisk.list(folder)).toEqual(["holiday.txt"]);
});

test("a job is not made over another", async () => {
  const folder = temporaryFolder();
  await (await createJob(folder, newJob())).close();
  await expect(createJob(folder, newJob())).rejects.toMatchObject({ code: "job/exists" });
});

test("a job of a newer format, and a job.json that is none, are told apart", async () => {
  const folder = temporaryFolder();
  mkdirSync(join(folder, "traces"));
  writeFileSync(join(folder, "job.json"), '{"format":"leadhand-job","version":3}');
  await expect(openJob(folder)).rejects.toMatchObject({ code: "job/newer" });
  writeFileSync(join(folder, "job.json"), '{"format":"leadhand-job","version":1}');
  await expect(openJob(folder)).rejects.toMatchObject({ code: "job/not-a-job" });
  writeFileSync(join(folder, "job.json"), "{");
  await expect(openJob(folder)).rejects.toMatchObject({ code: "job/not-a-job" });
});

test("a job goes on after it was closed: time, chain and blocks continue", async () => {
  const folder = temporaryFolder();
  const job = await createJob(folder, newJob());
  job.sink.append("a", chunkAt(7, "+19.84\n"));
  await job.close();
  const clock = new HandClock();
  const again = await openJob(folder, { clock });
  expect(again.origin_ns).toBe(-8_000_000_000n);
  again.sink.append("a", { bytes: new TextEncoder().encode("+0.00\n"), arrival_ns: 500_000_000n });
  again.readTo("a", 6);
  await again.record({ kind: "note", time_s: 8.5, words: "went on" });
  await again.close();
  const read = await readJob(folder);
  expect(read.damage).toEqual([]);
  expect(read.lines.map((line) => line.event.kind)).toEqual(["opened", "resumed", "note"]);
  expect(read.lines.at(-1)?.at).toEqual({ a: 13 });
  expect(read.traces.get("a")?.last_ns).toBe(8_500_000_000n);
  expect(await traceText(folder, "a")).toBe("+19.84\n+0.00\n");
});

test("the customer stands in a file of its own", async () => {
  const folder = temporaryFolder();
  const customer = { name: "Pat Sample", contact: "555-0100", reference: "" };
  await (await createJob(folder, newJob({ customer }))).close();
  expect(readFileSync(join(folder, "job.json"), "utf8")).not.toContain("Sample");
  expect((await readJob(folder)).customer?.name).toBe("Pat Sample");
});

test("a channel whose name would leave the folder is refused", async () => {
  const job = await createJob(temporaryFolder(), newJob());
  expect(() => job.sink.append("../x", chunkAt(0, "1"))).toThrow("[job/channel]");
  await job.close();
  expect(() => job.sink.append("a", chunkAt(0, "1"))).toThrow("[job/closed]");
});
