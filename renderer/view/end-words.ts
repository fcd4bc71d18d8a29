import type { BenchState } from "../store/state.js";

type Ending = NonNullable<BenchState["ended"]>;

/** What is told of the end of a run until, or instead of, a conclusion; seen and heard alike. */
export const END_WORDS: Readonly<Record<Ending, string>> = {
  finished: "The plan was run to its end. Working out what it says of the parts.",
  stopped: "The plan was stopped. What was recorded is in the job.",
  "meter-ended": "The meter has no more to tell. What was recorded is in the job.",
  trouble: "Trouble ended the plan. What was recorded is in the job.",
};
