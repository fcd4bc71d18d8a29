import type { IndexPlace, JobQuestions } from "../../../workbench/jobs/shop-index.js";
import { jobHandlers } from "./jobs.js";
import { packHandlers } from "./packs.js";
import { partsHandlers } from "./parts.js";
import { planHandlers } from "./plans.js";
import { practiceHandlers } from "./practice.js";
import { tableHandlers } from "./tables.js";

/** What the quiet screens ask, and nothing of the run at the bench. */
export function deskHandlers(place: IndexPlace, index: JobQuestions) {
  return {
    ...practiceHandlers,
    ...planHandlers(place.jobs),
    ...jobHandlers(place, index),
    ...packHandlers(place.jobs, process.env),
    ...partsHandlers(place.jobs),
    ...tableHandlers(place.jobs),
  };
}
