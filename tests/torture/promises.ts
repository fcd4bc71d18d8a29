import { readFileSync } from "node:fs";
import { join } from "node:path";
import { canonicalJson } from "../../workbench/job/canonical-json.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import { readJob } from "../../workbench/job/read-job.js";

/** What the bench said is recorded: an event, and how many raw bytes had come before it. */
export interface Kept {
  readonly event: JournalEvent;
  readonly bytes: number;
}

export function parsePromises(output: string): Kept[] {
  // A line that the kill cut short was not said.
  const whole = output.slice(0, output.lastIndexOf("\n") + 1);
  return whole
    .split("\n")
    .filter((line) => line !== "")
    .map((line) => JSON.parse(line) as Kept);
}

/** In words, what of the promises the folder does not keep; empty where it keeps them all. */
export async function brokenPromises(folder: string, promises: readonly Kept[]): Promise<string[]> {
  const { lines, traces, damage } = await readJob(folder);
  const broken = damage.map(({ file, at, what }) => `${file} at ${at}: ${what}`);
  const found = lines.map(({ event }) => canonicalJson(event));
  let from = 0;
  for (const { event } of promises) {
    const at = found.indexOf(canonicalJson(event), from);
    if (at < 0) broken.push(`missing from the journal: ${JSON.stringify(event).slice(0, 120)}`);
    else from = at + 1;
  }
  const bytes = promises.reduce((most, promise) => Math.max(most, promise.bytes), 0);
  const kept = traces.get("a")?.rawBytes ?? 0;
  if (kept < bytes) broken.push(`the trace holds ${kept} bytes, ${bytes} were promised`);
  return broken;
}

/** Sizes of the files a fault may strike. */
export function victims(folder: string): { path: string; length: number }[] {
  return ["journal.ndjson", "traces/a.trace"].map((name) => {
    const path = join(folder, name);
    return { path, length: readFileSync(path).length };
  });
}

/** Numbers that look like chance and are the same for the same seed (Marsaglia's xorshift32). */
export function chance(seed: number): (below: number) => number {
  let state = (seed * 2_654_435_761 + 1) >>> 0 || 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state % below;
  };
}
