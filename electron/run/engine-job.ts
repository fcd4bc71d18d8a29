import type { ChosenMeter } from "../../drivers/links.js";
import type { LeadhandError } from "../../protocols/error.js";
import { createJob, openJob } from "../../workbench/job/job-folder.js";
import type { Job, NewJob } from "../../workbench/job/job-folder.js";
import { runnerFor } from "../../workbench/job/job-runner.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import { resumeRunner } from "../../workbench/job/resume.js";
import type { RunEvent } from "../../workbench/plan/run-event.js";
import type { Runner } from "../../workbench/plan/runner.js";
import type { EngineSetup } from "./engine-types.js";

/** A job and the runner that goes with it, ready to run. */
export interface OpenedJob {
  readonly job: Job;
  readonly runner: Runner;
  /** What the runner had said before; null: it has not begun. */
  readonly said: readonly RunEvent[] | null;
  /** The journal as it was found. */
  readonly journal: readonly JournalEvent[];
  /** Channels that the runner believes to be gone. */
  readonly gone: readonly string[];
}

export async function jobForRun(
  setup: EngineSetup,
  chosen: readonly ChosenMeter[],
  onTrouble: (trouble: LeadhandError | null) => void,
): Promise<OpenedJob> {
  const { clock, folder } = setup;
  if (!setup.goOn) {
    const described = newJob(setup, chosen, setup.recorded ? 0n : clock.now_ns());
    const job = await createJob(folder, described, { clock, onTrouble });
    return { job, runner: runnerFor(job.file, 0, setup.order), said: null, journal: [], gone: [] };
  }
  const job = await openJob(folder, { clock, onTrouble });
  const resumed = await resumeRunner(job).catch(async (thrown: unknown) => {
    await job.close();
    throw thrown;
  });
  const runner = resumed?.runner ?? runnerFor(job.file, 0, setup.order);
  const journal = job.recovery.content.lines.map(({ event }) => event);
  return { job, runner, said: resumed?.said ?? null, journal, gone: goneBefore(journal) };
}

function goneBefore(journal: readonly JournalEvent[]): string[] {
  const states = new Map<string, string>();
  for (const event of journal) {
    if (event.kind === "meter") states.set(event.channel, event.state);
  }
  return [...states].flatMap(([channel, state]) => (state === "lost" ? [channel] : []));
}

function newJob(setup: EngineSetup, chosen: readonly ChosenMeter[], origin_ns: bigint): NewJob {
  return {
    startedAt: setup.startedAt,
    programVersion: setup.programVersion,
    practice: setup.practice,
    tool: setup.tool,
    ...(setup.customer === undefined ? {} : { customer: setup.customer }),
    plan: setup.plan,
    experience: setup.experience,
    repeats: setup.repeats,
    origin_ns,
    meters: setup.meters.map((address, n) => ({
      channel: channelName(n),
      address,
      protocol: chosen[n]?.protocol.id ?? "",
      options: { ...chosen[n]?.protocolOptions },
      title: setup.accuracies[n]?.meter ?? chosen[n]?.title ?? "",
      calibratedOn: setup.accuracies[n]?.calibrated ?? null,
      accuracy: setup.accuracies[n] ?? null,
    })),
  };
}

export function channelName(n: number): string {
  return String.fromCharCode("a".charCodeAt(0) + n);
}
