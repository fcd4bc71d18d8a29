import type { BenchEvent } from "../../workbench/contract/events.js";
import type { Puppet, Shown } from "./puppet.js";

/** What the puppet does on hearing the bench. */
export function reactToBench(puppet: Puppet, event: BenchEvent): Shown[] | null {
  if (event.type === "begin") return puppet.react({ kind: "begin", step: event.step });
  if (event.type === "prompt" && event.kind !== null) {
    return puppet.react({ kind: "prompt", prompt: event.kind });
  }
  return null;
}
