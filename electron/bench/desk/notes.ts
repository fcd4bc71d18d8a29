import type { Handlers } from "../calls-server.js";
import { withJob } from "../job-notes.js";
import type { WhereJobsAre } from "../job-notes.js";

/** Words for the journal: of the job on the bench, and of any other. */
export function noteHandlers(where: () => WhereJobsAre) {
  return {
    addNote: async ({ job, words }) => {
      await withJob(where(), job, (open) =>
        open.record({ kind: "note", time_s: open.time_s, words }),
      );
      return {};
    },
  } satisfies Handlers;
}
