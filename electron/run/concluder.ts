import type { PowerPath } from "../../workbench/contract/events.js";
import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import type { EngineEvent } from "./engine-event.js";
import type { PreparedRun } from "./prepare.js";

/** Reasons once, at the end, in this thread: for a run that nobody watches. */
export class Concluder {
  readonly #reasoner: PathReasoner;

  constructor({ plan, tool }: PreparedRun) {
    this.#reasoner = new PathReasoner(plan, tool.data ?? {});
  }

  hear(event: EngineEvent): void {
    const events = event.kind === "run" ? [event.event] : event.kind === "past" ? event.events : [];
    for (const each of events) if (each.kind === "step") this.#reasoner.take(each.result);
  }

  readonly conclude = (): Promise<PowerPath> => Promise.resolve(this.#reasoner.path());
}
