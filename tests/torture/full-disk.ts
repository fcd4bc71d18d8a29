import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createJob } from "../../workbench/job/job-folder.js";
import { SampleBench, sampleJob } from "../workbench/job/sample-run.js";
import { brokenPromises, chance, type Kept } from "./promises.js";

/**
 * Fills a small disk (a tmpfs of its own; needs root) in the middle of a capture, frees it, goes
 * on. Resolves with what went wrong, or null where no such disk can be made here.
 */
export async function fullDiskRun(seed: number): Promise<readonly string[] | null> {
  const place = mkdtempSync(join(tmpdir(), "leadhand-full-"));
  const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=192k", "tmpfs", place]);
  if (mounted.status !== 0) {
    rmSync(place, { recursive: true });
    return null;
  }
  try {
    return await fillAndGoOn(place, chance(seed));
  } finally {
    spawnSync("umount", [place]);
    rmSync(place, { recursive: true });
  }
}

async function fillAndGoOn(place: string, random: (below: number) => number): Promise<string[]> {
  const folder = join(place, "job");
  const ballast = join(place, "ballast");
  const promises: Kept[] = [];
  const job = await createJob(folder, sampleJob());
  const bench = new SampleBench(job, undefined, (line) => promises.push(JSON.parse(line) as Kept));
  bench.start();
  writeFileSync(ballast, new Uint8Array(96 * 1024 + random(32 * 1024)));
  const refusals = await captureUntilRefused(bench, job);
  if (refusals === 0) return ["the disk did not fill up"];
  rmSync(ballast);
  const broken = await brokenPromises(folder, promises);
  await job.record({ kind: "note", time_s: 1e6, words: "room again" });
  await job.close();
  return [...broken, ...(await brokenPromises(folder, promises))];
}

/** Notes and readings until the disk refuses one; resolves with how often it did. */
async function captureUntilRefused(
  bench: SampleBench,
  job: Awaited<ReturnType<typeof createJob>>,
): Promise<number> {
  let refused = 0;
  for (let n = 0; n < 4000 && refused < 3; n++) {
    bench.bytes((n + 1) / 10, `${(19.8 + (n % 3) / 100).toFixed(2)} V DC\r\n`);
    if (n % 5 !== 0) continue;
    const time_s = n / 10;
    await job.record({ kind: "note", time_s, words: `note ${n} ${"x".repeat(200)}` }).catch(() => {
      refused += 1;
    });
  }
  return refused;
}
