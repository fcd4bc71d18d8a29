import { basename, join } from "node:path";
import { LeadhandError } from "../../../protocols/error.js";
import { addPhoto, dataAddress, isPhotoName } from "../../../workbench/claim/photos.js";
import type { Apart } from "../../../workbench/contract/apart.js";
import { nodeDisk } from "../../../workbench/job/disk.js";
import type { JournalEvent } from "../../../workbench/job/journal-event.js";
import { readJob } from "../../../workbench/job/read-job.js";
import { isApart } from "../../../workbench/plan/taken-apart.js";
import { apartMessage } from "../../run/messages.js";
import type { Handlers } from "../calls-server.js";
import { withJob } from "../job-notes.js";
import type { NotedJob, WhereJobsAre } from "../job-notes.js";

/** What came off and goes back on, and photos: of the job on the bench, and of any other. */
export function apartHandlers(where: () => WhereJobsAre) {
  const keep = (job: string, make: (time_s: number) => JournalEvent) =>
    withJob(where(), job, async (open) => {
      await record(where(), job, open, make(open.time_s));
    }).then(() => apartOf(where().jobs, job));
  return {
    readApart: ({ job }) => apartOf(where().jobs, job),
    noteRemoval: ({ job, ...noted }) =>
      keep(job, (time_s) => ({ kind: "removed", time_s, ...noted })),
    putBack: ({ job, ...back }) => keep(job, (time_s) => ({ kind: "put-back", time_s, ...back })),
    addPhoto: ({ job, data, caption, moment, of }) =>
      withJob(where(), job, async (open) => {
        const bytes = new Uint8Array(Buffer.from(data, "base64"));
        const about = of === null ? {} : { of };
        const photo = { bytes, caption, moment, time_s: open.time_s, ...about };
        const kept = {
          ...open,
          record: (event: JournalEvent) => record(where(), job, open, event),
        };
        return { file: await addPhoto(kept, photo) };
      }),
    readPhoto: async ({ job, file }) => ({ address: await photo(join(where().jobs, job), file) }),
  } satisfies Handlers;
}

/** On disk first; then the window of the run, if it is that job's, is told. */
async function record(
  { run }: WhereJobsAre,
  job: string,
  open: NotedJob,
  event: JournalEvent,
): Promise<void> {
  await open.record(event);
  if (run !== null && basename(run.id) === job && isApart(event)) run.noteApart(event);
}

async function apartOf(jobs: string, job: string): Promise<Apart> {
  const { file, lines } = await readJob(join(jobs, job));
  return apartMessage(
    file.plan,
    lines.map(({ event }) => event).filter((event) => isApart(event)),
  );
}

async function photo(folder: string, file: string): Promise<string> {
  const bytes = isPhotoName(file) ? await nodeDisk.readWhole(join(folder, file)) : null;
  const address = bytes === null ? null : dataAddress(bytes);
  if (address !== null) return address;
  throw new LeadhandError("job/no-photo", {
    what: `There is no photo "${file}" in the job.`,
    action: "It may have been moved or deleted; the journal still names it.",
  });
}
