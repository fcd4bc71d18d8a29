/**
 * `npm run torture [runs]`: kills the bench process at random moments of a live capture, cuts and
 * flips what it left, fills a small disk. Takes minutes; a short version is among the unit tests.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fullDiskRun } from "./full-disk.js";
import { bundleBench, killRun } from "./kill.js";

const runs = Number(process.env["TORTURE_RUNS"] ?? 500);
const scratch = mkdtempSync(join(tmpdir(), "leadhand-bench-"));
const program = await bundleBench(scratch);
const sum = { promises: 0, torn: 0, broken: 0 };
const started = Date.now();
for (let seed = 1; seed <= runs; seed++) {
  const { promises, torn, broken } = await killRun(program, seed);
  sum.promises += promises;
  sum.torn += torn;
  sum.broken += broken.length;
  for (const words of broken) console.log(`seed ${seed}: ${words}`);
  if (seed % 50 === 0)
    console.log(`${seed} of ${runs} runs, ${((Date.now() - started) / 1000).toFixed(0)} s`);
}
let disks = 0;
for (let seed = 1; seed <= 10; seed++) {
  const broken = await fullDiskRun(seed);
  if (broken === null) {
    console.log("skipped: a full disk needs root, to mount a small one");
    break;
  }
  disks += 1;
  sum.broken += broken.length;
  for (const words of broken) console.log(`full disk, seed ${seed}: ${words}`);
}
rmSync(scratch, { recursive: true });
console.log(
  `${runs} runs of two kills each, ${disks} full disks: ${sum.promises} recorded events promised, ` +
    `${sum.torn} torn tails cut, ${sum.broken} promises broken`,
);
process.exitCode = sum.broken === 0 ? 0 : 1;
