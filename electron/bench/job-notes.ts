import { basename, join } from "node:path";
import type { Clock } from "../../drivers/clock.js";
import { openJob } from "../../workbench/job/job-folder.js";
import { readJobFile } from "../../workbench/job/read-job.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { ApartEvent } from "../../workbench/plan/taken-apart.js";
import type { Engine } from "../run/engine-types.js";

/** A job that something can be put down in, whether it is being run or not. */
export interface NotedJob {
  readonly folder: string;
  /** The job's time now, seconds. */
  readonly time_s: number;
  record(event: JournalEvent): Promise<void>;
}

/** The run on the bench, as far as its job is concerned. */
interface RunOfJob {
  readonly id: string;
  readonly engine: Engine | null;
  readonly over: boolean;
  noteApart(event: ApartEvent): void;
}

export interface WhereJobsAre {
  readonly jobs: string;
  readonly run: RunOfJob | null;
  readonly clock: Clock;
}

/** One after the other: two openings of one job would be in each other's way. */
let queue: Promise<unknown> = Promise.resolve();

/** Lets `work` write into the job: through its run where it has one, else by opening it. */
export function withJob<T>(
  where: WhereJobsAre,
  job: string,
  work: (job: NotedJob) => Promise<T>,
): Promise<T> {
  const { run } = where;
  if (run !== null && basename(run.id) === job && run.engine !== null && !run.over) {
    const { engine } = run;
    const record = (event: JournalEvent) => engine.record(event);
    return work({ folder: engine.folder, time_s: engine.now_s(), record });
  }
  const turn = queue.then(() => whileOpen(join(where.jobs, job), where.clock, work));
  queue = turn.catch(() => undefined);
  return turn;
}

async function whileOpen<T>(
  folder: string,
  clock: Clock,
  work: (job: NotedJob) => Promise<T>,
): Promise<T> {
  const { startedAt } = await readJobFile(folder);
  const elapsed_s = Math.max(0, (Date.now() - Date.parse(startedAt)) / 1000);
  const job = await openJob(folder, { clock, elapsed_s });
  try {
    const time_s = Number(clock.now_ns() - job.origin_ns) / 1e9;
    return await work({ folder, time_s, record: (event) => job.record(event) });
  } finally {
    await job.close();
  }
}
