import type { Order } from "../contract/orders.js";
import { createRunner, type Runner } from "../plan/runner.js";
import type { JobFile } from "./job-file.js";

/** The runner of a job, from what `job.json` says alone: live run and replay both use it. */
export function runnerFor(file: JobFile, startAt_s: number, order: Order = "fixed"): Runner {
  return createRunner({
    plan: file.plan,
    toolData: file.tool.data,
    accuracy: new Map(
      file.meters.flatMap(({ channel, accuracy }) => (accuracy ? [[channel, accuracy]] : [])),
    ),
    date: file.startedAt.slice(0, 10),
    startAt_s,
    order,
  });
}
