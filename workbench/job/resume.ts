import type { RunEvent } from "../plan/run-event.js";
import type { Runner } from "../plan/runner.js";
import { chunksOf } from "./derive.js";
import type { Job, Recovery } from "./job-folder.js";
import { rederive } from "./replay.js";

export interface Resumed {
  readonly runner: Runner;
  /** What it had said so far, for those who show it. */
  readonly said: readonly RunEvent[];
}

/**
 * The runner of an interrupted job as it stood when its last raw bytes were written, so that the
 * run goes on. What follows from the bytes and is not in the journal is recorded first: the meter had
 * sent them, and only the line was missing. null where the run had not begun.
 */
export async function resumeRunner(
  job: Job & { readonly recovery: Recovery },
): Promise<Resumed | null> {
  const { content } = job.recovery;
  const { events, unrecorded, said, runner } = await rederive({
    file: job.file,
    lines: content.lines,
    channels: [...content.traces.keys()],
    chunks: chunksOf(job.folder),
  });
  for (const event of events.slice(events.length - unrecorded)) await job.record(event);
  return runner === null ? null : { runner, said };
}
