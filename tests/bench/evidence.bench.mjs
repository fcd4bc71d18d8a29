/** What the record costs: the cache of readings, opening a long trace, the evidence log. */
import { spawnSync } from "node:child_process";
import { closeSync, mkdtempSync, openSync, rmSync, statSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { csvLine } from "../../dist/workbench/claim/readings-csv.js";
import { readingToJson } from "../../dist/workbench/contract/reading.js";
import { ColumnWriter } from "../../dist/workbench/job/columns/writer.js";
import { createJob } from "../../dist/workbench/job/job-folder.js";
import { bundledPlans } from "../../dist/workbench/plans/bundled.js";
import { compare, figure } from "./harness.mjs";
import { referenceTrace } from "./reference-trace.mjs";

const folder = mkdtempSync(join(tmpdir(), "leadhand-bench-"));
try {
  const readings = [...referenceTrace(500_000)];
  sizes(readings);
  await writing(readings);
  readings.length = 0;
  opening(10_000_000);
  await evidenceLog(100);
  await hourOfCapture();
} finally {
  rmSync(folder, { recursive: true });
}

function sizes(all) {
  let bytes = 0;
  const writer = new ColumnWriter((block) => (bytes += block.length));
  for (const reading of all) writer.add(reading);
  writer.end();
  figure({ name: "cached reading", value: bytes / all.length, unit: "bytes", atMost: 2.4 });
  const csv = all.reduce((sum, reading) => sum + csvLine(reading).length, 0);
  console.log(`  the same as a line of the CSV in a pack: ${(csv / all.length).toFixed(1)} bytes`);
}

async function writing(all) {
  const columns = openSync(join(folder, "w.columns"), "w");
  const lines = openSync(join(folder, "w.ndjson"), "w");
  await compare({
    name: "writing readings to disk",
    unit: "readings",
    bar: 10,
    peerName: "JSON lines",
    ours() {
      const writer = new ColumnWriter((block) => writeSync(columns, block, 0, block.length, 0));
      for (const reading of all) writer.add(reading);
      writer.end();
      return all.length;
    },
    peer() {
      let text = "";
      for (const reading of all) {
        text += `${JSON.stringify(readingToJson(reading))}\n`;
        if (text.length < 1 << 16) continue;
        writeSync(lines, text, 0);
        text = "";
      }
      writeSync(lines, text, 0);
      return all.length;
    },
  });
  closeSync(columns);
  closeSync(lines);
}

function opening(count) {
  const paths = [join(folder, "t.columns"), join(folder, "t.pairs")];
  const [columns, pairs] = paths.map((path) => openSync(path, "w"));
  const writer = new ColumnWriter((block) => writeSync(columns, block));
  const piece = new Float64Array(1 << 17);
  let filled = 0;
  for (const reading of referenceTrace(count)) {
    writer.add(reading);
    piece[filled++] = reading.time_s;
    piece[filled++] = reading.value;
    if (filled === piece.length) {
      writeSync(pairs, piece);
      filled = 0;
    }
  }
  writeSync(pairs, piece.subarray(0, filled));
  writer.end();
  closeSync(columns);
  closeSync(pairs);
  const [ours, peer] = paths.map(openElsewhere);
  const value = ours.time_ms / peer.time_ms;
  console.log(
    `  ten million readings to the first plot: ${ours.time_ms.toFixed(0)} ms, 64-bit pairs ${peer.time_ms.toFixed(0)} ms`,
  );
  figure({ name: "the same against 64-bit pairs", value, unit: "times", atMost: 2 });
  figure({ name: "resident", value: ours.resident_MB, unit: "MB", atMost: 250 });
}

function openElsewhere(path) {
  const args = ["--expose-gc", "tests/bench/open-trace.mjs", path];
  const { stdout, stderr, status } = spawnSync(process.execPath, args, { encoding: "utf8" });
  if (status !== 0) throw new Error(stderr);
  const [time_ms, resident_MB] = stdout.trim().split(" ").map(Number);
  return { time_ms, resident_MB };
}

/** The reference trace as an instrument sends it (NR3 of IEEE 488.2, 16 bytes a reading), captured by a job on a simulated clock. */
async function capture(seconds, eachSecond) {
  const place = join(folder, `job-${seconds}`);
  const clock = simulatedClock();
  const job = await createJob(
    place,
    {
      startedAt: "2026-03-02T09:15:00Z",
      programVersion: "bench",
      tool: { make: "Examplemaker", model: "EX-18", serial: "DEMO-0001", complaint: "" },
      meters: [{ channel: "a", address: "practice:", protocol: "ascii-line" }],
      plan: bundledPlans()[0],
      origin_ns: 0n,
    },
    { clock },
  );
  let raw = 0;
  let n = 0;
  for (const { value, time_s } of referenceTrace(seconds * 1000)) {
    const bytes = new TextEncoder().encode(`+${value.toExponential(8).replace("e+", "E+0")}\n`);
    raw += bytes.length;
    job.sink.append("a", { bytes, arrival_ns: BigInt(Math.round(time_s * 1e9)) });
    n += 1;
    if (n % 20 === 0) clock.advance(20);
    if (n % 1000 !== 0) continue;
    await job.record({ kind: "note", time_s: n / 1000, words: "a second" });
    eachSecond(n / 1000);
  }
  await job.close();
  return statSync(join(place, "traces/a.trace")).size / raw;
}

async function evidenceLog(seconds) {
  const value = await capture(seconds, () => undefined);
  figure({ name: "evidence log against the raw bytes", value, unit: "times", atMost: 1.2 });
}

async function hourOfCapture() {
  const used = new Map();
  await capture(3600, (second) => {
    if (second % 600 !== 0) return;
    globalThis.gc();
    used.set(second, process.memoryUsage().heapUsed / 1e6);
  });
  const value = Math.max(0, used.get(3600) - used.get(600));
  figure({ name: "heap grown from ten minutes to an hour of 1 kHz", value, unit: "MB", atMost: 5 });
}

function simulatedClock() {
  let now_ms = 0;
  const timers = new Set();
  return {
    now_ns: () => BigInt(now_ms) * 1_000_000n,
    after(delay_ms, fn) {
      const timer = { due_ms: now_ms + delay_ms, fn };
      timers.add(timer);
      return () => timers.delete(timer);
    },
    advance(by_ms) {
      now_ms += by_ms;
      for (const timer of [...timers]) {
        if (timer.due_ms > now_ms) continue;
        timers.delete(timer);
        timer.fn();
      }
    },
  };
}
