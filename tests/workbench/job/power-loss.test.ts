import "../patience.js";
import { expect, test } from "vitest";
import { canonicalJson } from "../../../workbench/job/canonical-json.js";
import { createJob, openJob } from "../../../workbench/job/job-folder.js";
import { readJob } from "../../../workbench/job/read-job.js";
import { chance, type Kept } from "../../torture/promises.js";
import { HandClock } from "./hand-clock.js";
import { LossyDisk } from "./lossy-disk.js";
import { SampleBench, sampleJob, sampleLines } from "./sample-run.js";

const FOLDER = "/job";
const processes = {
  self: { host: "bench", pid: 1, started: "a" },
  isAlive: () => false,
};

/** Captures until the power goes in the middle of it; gives the disk as it is then. */
async function captureUntilDark(seed: number): Promise<{ disk: LossyDisk; promises: Kept[] }> {
  const random = chance(seed);
  const disk = new LossyDisk(random);
  const clock = new HandClock();
  const promises: Kept[] = [];
  const job = await createJob(FOLDER, sampleJob(), { disk, clock, processes });
  const bench = new SampleBench(job, undefined, (line) => promises.push(JSON.parse(line) as Kept));
  bench.start();
  const lines = [...sampleLines()].slice(0, 40 + random(80));
  for (const { time_s, text } of lines) {
    bench.bytes(time_s, text);
    clock.advance(random(80));
    // So that the power may go between any two writes.
    for (let turn = random(12); turn > 0; turn--) await Promise.resolve();
  }
  return { disk: disk.powerLost(), promises: [...promises] };
}

test("a loss of power takes nothing that was promised, wherever it strikes", async () => {
  let promised = 0;
  let cuts = 0;
  for (let seed = 1; seed <= 120; seed++) {
    const { disk, promises } = await captureUntilDark(seed);
    const found = await readJob(FOLDER, disk);
    const events = found.lines.map(({ event }) => canonicalJson(event));
    for (const { event } of promises) {
      expect(events, `seed ${seed}`).toContain(canonicalJson(event));
    }
    const bytes = promises.reduce((most, kept) => Math.max(most, kept.bytes), 0);
    expect(found.traces.get("a")?.rawBytes ?? 0, `seed ${seed}`).toBeGreaterThanOrEqual(bytes);
    const again = await openJob(FOLDER, { disk, clock: new HandClock(), processes });
    cuts += again.recovery.cut.length;
    await again.record({ kind: "note", time_s: 99, words: "goes on" });
    await again.close();
    const after = await readJob(FOLDER, disk);
    expect(after.lines.at(-1)?.event.kind, `seed ${seed}`).toBe("note");
    promised += promises.length;
  }
  expect(promised).toBeGreaterThan(120);
  expect(cuts).toBeGreaterThan(0);
}, 60_000);
