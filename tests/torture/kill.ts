import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "vite";
import { replayJob } from "../../workbench/job/compare-replay.js";
import { openJob } from "../../workbench/job/job-folder.js";
import { resumeRunner } from "../../workbench/job/resume.js";
import { readJob } from "../../workbench/job/read-job.js";
import { brokenPromises, chance, parsePromises, victims, type Kept } from "./promises.js";

/** Makes the bench of the torture into one file that starts fast; resolves with its path. */
export async function bundleBench(into: string): Promise<string> {
  await build({
    configFile: false,
    logLevel: "error",
    root: process.cwd(),
    ssr: { noExternal: true },
    build: {
      ssr: "tests/torture/bench.ts",
      outDir: into,
      emptyOutDir: false,
      target: "node20",
      rolldownOptions: { output: { entryFileNames: "bench.mjs" } },
    },
  });
  return join(into, "bench.mjs");
}

export interface KillOutcome {
  readonly promises: number;
  readonly torn: number;
  readonly broken: readonly string[];
}

/** One run: capture, kill at a moment of the seed, look, go on, kill again, look, replay. */
export async function killRun(program: string, seed: number): Promise<KillOutcome> {
  const scratch = mkdtempSync(join(tmpdir(), "leadhand-torture-"));
  const folder = join(scratch, "job");
  const random = chance(seed);
  const promises: Kept[] = [];
  const broken: string[] = [];
  let torn = 0;
  try {
    for (let sitting = 1; sitting <= 2; sitting++) {
      promises.push(...(await captureUntilKilled(program, folder, random(25), random(4))));
      torn += await tornTails(folder);
      broken.push(...(await brokenPromises(folder, promises)));
    }
    broken.push(...(await goesOn(folder, promises)));
    broken.push(...(await spoiled(folder, scratch, random)));
  } catch (thrown) {
    broken.push(String(thrown));
  }
  rmSync(scratch, { recursive: true, force: true });
  return { promises: promises.length, torn, broken };
}

/** Kills after so many promises and so many milliseconds more. */
async function captureUntilKilled(
  program: string,
  folder: string,
  promises: number,
  delay_ms: number,
): Promise<Kept[]> {
  const child = spawn(process.execPath, [program, folder], { stdio: ["ignore", "pipe", "pipe"] });
  let output = "";
  let trouble = "";
  let doomed = false;
  child.stderr.on("data", (text: Buffer) => (trouble += text.toString()));
  child.stdout.on("data", (text: Buffer) => {
    output += text.toString();
    if (doomed || output.split("\n").length <= promises) return;
    doomed = true;
    setTimeout(() => child.kill("SIGKILL"), delay_ms);
  });
  const signal = await new Promise((resolve) => child.once("close", (_, by) => resolve(by)));
  if (signal !== "SIGKILL") throw new Error(`the bench ended by itself: ${trouble}`);
  return parsePromises(output);
}

async function tornTails(folder: string): Promise<number> {
  const { journal, traces } = await readJob(folder);
  const trace = traces.get("a");
  const inTrace = trace !== undefined && trace.length > trace.wholeLength;
  return Number(journal.tornLength > 0) + Number(inTrace);
}

/** After the last kill the job opens, takes a note, keeps everything, and replays. */
async function goesOn(folder: string, promises: readonly Kept[]): Promise<string[]> {
  const job = await openJob(folder);
  await resumeRunner(job);
  await job.record({ kind: "note", time_s: 1e6, words: "goes on" });
  await job.close();
  const broken = await brokenPromises(folder, promises);
  const replay = await replayJob(folder, "torture");
  return [
    ...broken,
    ...replay.differences.map(
      ({ step, recorded, now }) =>
        `replay of ${step}: ${JSON.stringify(recorded)} is now ${JSON.stringify(now)}`,
    ),
  ];
}

/** On a copy each: a file cut short, and a flipped bit. Found, named, the rest readable. */
async function spoiled(
  folder: string,
  scratch: string,
  random: (below: number) => number,
): Promise<string[]> {
  const broken: string[] = [];
  for (const fault of ["cut", "flip"] as const) {
    const copy = join(scratch, fault);
    cpSync(folder, copy, { recursive: true });
    const files = victims(copy);
    const { path, length } = files[random(files.length)] ?? { path: "", length: 0 };
    if (length === 0) continue;
    const at = random(length);
    if (fault === "cut") truncateSync(path, at);
    else flipBit(path, at, random(8));
    const whole = await readJob(folder);
    const read = await readJob(copy);
    const trace = read.traces.get("a");
    const torn =
      read.journal.tornLength > 0 || (trace !== undefined && trace.length > trace.wholeLength);
    const place = `${fault} at ${at} of ${path}`;
    if (fault === "flip" && !torn && read.damage.length === 0) broken.push(`not found: ${place}`);
    if (fault === "flip" && read.lines.length < whole.lines.length - 1) {
      broken.push(`more lines lost than the one that was struck: ${place}`);
    }
    const again = await openJob(copy);
    await again.record({ kind: "note", time_s: 2e6, words: "goes on after damage" });
    await again.close();
    const after = await readJob(copy);
    if (after.lines.at(-1)?.event.kind !== "note") broken.push(`does not go on: ${place}`);
  }
  return broken;
}

function flipBit(path: string, at: number, bit: number): void {
  const bytes = readFileSync(path);
  bytes[at] = (bytes[at] ?? 0) ^ (1 << bit);
  writeFileSync(path, bytes);
}
