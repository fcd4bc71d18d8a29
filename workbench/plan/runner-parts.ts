import type { TimedReading } from "../../protocols/reading.js";
import type { Watch, WatchTarget } from "../measurement/watch.js";
import { startWatch } from "../watches/registry.js";
import type { WatchSpec } from "./schema.js";

/** What the runner takes from outside the plan. */
export interface RunnerParts {
  readonly startWatch: (spec: WatchSpec, target: WatchTarget, left: TimedReading | null) => Watch;
}

export const standardParts: RunnerParts = { startWatch };
