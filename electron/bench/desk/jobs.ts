import { join } from "node:path";
import type { IndexPlace, JobQuestions } from "../../../workbench/jobs/shop-index.js";
import { compareRuns, overlaySteps } from "../../../workbench/jobs/compare-runs.js";
import { archiveJob, deleteJob, importFolder } from "../../../workbench/jobs/folders.js";
import { readJobFile } from "../../../workbench/job/read-job.js";
import { programVersion } from "../../version.js";
import type { Handlers } from "../calls-server.js";
import { windowRow } from "./job-rows.js";
import { thinnedTrace } from "./thinned-trace.js";
import { wholeJob } from "./whole-job.js";

/** Lists and plots come from the index, everything else from the job's own folder. */
export function jobHandlers({ jobs, bench }: IndexPlace, index: JobQuestions) {
  const at = (job: string): string => join(jobs, job);
  return {
    listJobs: async (filter) => {
      const { rows, total, unreadable, warning } = await index.list(filter);
      return {
        jobs: rows.map((row) => windowRow(row, bench)),
        total,
        unreadable: unreadable.map(({ folder, why }) => ({ job: folder, why })),
        warning,
      };
    },
    readJob: ({ job }) => wholeJob(jobs, job),
    otherRuns: ({ job }) => otherRuns(at(job), bench, index),
    readTrace: ({ job, channel, points }) => thinnedTrace(at(job), channel, points),
    archiveJob: async ({ job, archived }) => {
      await archiveJob(at(job), archived);
      return {};
    },
    deleteJob: async ({ job, confirm }) => {
      await deleteJob(at(job), confirm);
      return {};
    },
    importJobs: ({ from }) => importFolder(from, jobs),
    compareJobs: ({ first, second }) => compareRuns(at(first), at(second)),
    overlayStep: ({ first, second, step, points }) =>
      overlaySteps(at(first), at(second), step, points, programVersion()),
    whatFails: () => index.failures(),
    packResistance: (of) => index.resistance(of),
  } satisfies Handlers;
}

/** A tool without a serial number cannot be told from another of its model. */
async function otherRuns(folder: string, bench: string, index: JobQuestions) {
  const { id, repeats, tool } = await readJobFile(folder);
  const { make, model, serial } = tool;
  if (serial === "") return { runs: [], repeats: null };
  const lists = await Promise.all(
    [false, true].map((archived) => index.list({ make, model, serial, archived, practice: "too" })),
  );
  const rows = lists.flatMap((list) => list.rows).filter((row) => row.id !== id);
  const here = rows.filter((row) => row.bench === bench);
  return {
    runs: here.map((row) => windowRow(row, bench)),
    repeats: here.find((row) => row.id === repeats)?.folder ?? null,
  };
}
