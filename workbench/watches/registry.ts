import type { TimedReading } from "../../protocols/reading.js";
import type { Watch, WatchTarget } from "../measurement/watch.js";
import type { WatchSpec } from "../plan/schema.js";
import { changeWatch } from "./change.js";
import { sagWatch } from "./sag.js";
import { settleWatch } from "./settle.js";
import { sweepWatch } from "./sweep.js";

/** Makes the watch that a step asks for. One line a watch. */
export function startWatch(spec: WatchSpec, target: WatchTarget, left: TimedReading | null): Watch {
  switch (spec.kind) {
    case "settle":
      return settleWatch(target, spec, left);
    case "change":
      return changeWatch(target, spec, left);
    case "sweep":
      return sweepWatch(target, spec, left);
    case "sag":
      return sagWatch(target, spec, left);
  }
}
