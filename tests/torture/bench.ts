/**
 * The process that the torture kills: captures and judges as fast as it can, and says on standard
 * output, one line each, what it has been promised is on disk. Arguments: folder.
 */
import { existsSync, writeSync } from "node:fs";
import { setTimeout } from "node:timers/promises";
import { createJob, openJob, type Job } from "../../workbench/job/job-folder.js";
import { chunksOf } from "../../workbench/job/derive.js";
import { readJob } from "../../workbench/job/read-job.js";
import { rederive } from "../../workbench/job/replay.js";
import { SampleBench, sampleJob } from "../workbench/job/sample-run.js";

const [folder = ""] = process.argv.slice(2);
const fresh = !existsSync(folder);
const job = fresh ? await createJob(folder, sampleJob()) : await openJob(folder);
const bench = await benchFor(job);
const base_s = Number(process.hrtime.bigint() - job.origin_ns) / 1e9;

for (let n = 0; ; n++) {
  const time_s = base_s + (n + 1) / 10;
  const phase = Math.floor(n / 25) % 2;
  const value = phase === 0 ? 0 : 19.8 + ((n * 7) % 4) / 100;
  bench.bytes(time_s, `${value.toFixed(2)} V DC\r\n`);
  // A run that is over is taken again: there is always a verdict on its way.
  if (n % 200 === 199) bench.push({ kind: "repeat", step: "pack-open", time_s });
  if (n % 5 === 0) await setTimeout(1);
}

async function benchFor(opened: Job): Promise<SampleBench> {
  const told = (line: string): void => void writeSync(1, `${line}\n`);
  if (fresh) {
    const made = new SampleBench(opened, undefined, told);
    made.start();
    return made;
  }
  const { lines, file, traces } = await readJob(folder);
  const channels = [...traces.keys()];
  const { runner } = await rederive({ file, lines, channels, chunks: chunksOf(folder) });
  const resumed = new SampleBench(opened, runner ?? undefined, told);
  if (runner === null) resumed.start();
  return resumed;
}
