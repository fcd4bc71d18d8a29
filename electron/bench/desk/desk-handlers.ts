import { jobHandlers } from "./jobs.js";
import { packHandlers } from "./packs.js";
import { planHandlers } from "./plans.js";
import { practiceHandlers } from "./practice.js";
import { tableHandlers } from "./tables.js";

/** What the quiet screens ask; `jobs` is the folder that holds one folder a job. */
export function deskHandlers(jobs: string) {
  return {
    ...practiceHandlers,
    ...planHandlers(jobs),
    ...jobHandlers(jobs),
    ...packHandlers(jobs, process.env),
    ...tableHandlers(jobs),
  };
}
