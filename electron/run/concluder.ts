import type { PowerPath } from "../../workbench/contract/events.js";
import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import { runEventsIn } from "./engine-event.js";
import type { EngineEvent } from "./engine-event.js";
import type { PreparedRun } from "./prepare.js";

/** Reasons once, at the end, in this thread: for a run that nobody watches. */
export class Concluder {
  readonly #reasoner: PathReasoner;

  constructor({ plan, tool }: PreparedRun) {
    this.#reasoner = new PathReasoner(plan, tool.data ?? {});
  }

  hear(event: EngineEvent): void {
    for (const each of runEventsIn(event))
      if (each.kind === "step") this.#reasoner.take(each.result);
  }

  readonly conclude = (): Promise<PowerPath> => Promise.resolve(this.#reasoner.path());
}
