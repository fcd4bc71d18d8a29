/**
 * The process that the torture kills: captures and judges as fast as it can, and says on standard
 * output, one line each, what it has been promised is on disk. Arguments: folder.
 */
import { existsSync, writeSync } from "node:fs";
import { setTimeout } from "node:timers/promises";
import { createJob, openJob, type Job } from "../../workbench/job/job-folder.js";
import { resumeRunner } from "../../workbench/job/resume.js";
import { SampleBench, sampleJob } from "../workbench/job/sample-run.js";

const [folder = ""] = process.argv.slice(2);
const fresh = !existsSync(folder);
const { job, bench } = fresh ? await begin() : await goOn();
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

function told(line: string): void {
  writeSync(1, `${line}\n`);
}

async function begin(): Promise<{ job: Job; bench: SampleBench }> {
  const made = await createJob(folder, sampleJob());
  const begun = new SampleBench(made, undefined, told);
  begun.start();
  return { job: made, bench: begun };
}

/** As after any crash: the run stands where its last bytes on disk left it. */
async function goOn(): Promise<{ job: Job; bench: SampleBench }> {
  const opened = await openJob(folder);
  const runner = (await resumeRunner(opened))?.runner ?? null;
  const resumed = new SampleBench(opened, runner ?? undefined, told);
  if (runner === null) resumed.start();
  return { job: opened, bench: resumed };
}
