import { Worker } from "node:worker_threads";
import { LeadhandError } from "../../protocols/error.js";
import type { PowerPath } from "../../workbench/contract/events.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { StepResult } from "../../workbench/plan/step-result.js";

interface Waiting {
  readonly resolve: (path: PowerPath) => void;
  readonly reject: (error: Error) => void;
}

/**
 * What the recorded steps say of the parts, worked out in a thread of its own. Answers come in the
 * order of the questions.
 */
export class PathKeeper {
  readonly #worker: Worker;
  readonly #waiting = new Map<number, Waiting>();
  #next = 0;
  #failed: LeadhandError | null = null;

  constructor(plan: Plan, data: Readonly<Record<string, number>>) {
    this.#worker = new Worker(new URL("./path-worker.js", import.meta.url), {
      workerData: { plan, data },
    });
    this.#worker.on("message", ({ id, path }: { id: number; path: PowerPath }) => {
      this.#waiting.get(id)?.resolve(path);
      this.#waiting.delete(id);
    });
    this.#worker.on("error", (thrown) => {
      this.#fail(thrown);
    });
    // A thread that is thinking must not keep a finished program alive.
    this.#worker.unref();
  }

  /** Takes a result, if one is given, and resolves with the path as it is then. */
  path(result: StepResult | null): Promise<PowerPath> {
    // A dead thread answers nobody, and a run that waits for it would never end.
    if (this.#failed !== null) return Promise.reject(this.#failed);
    const id = this.#next++;
    this.#worker.postMessage({ id, result });
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
    });
  }

  async close(): Promise<void> {
    await this.#worker.terminate();
    this.#waiting.clear();
  }

  #fail(cause: unknown): void {
    const error = new LeadhandError("diagnosis/failed", {
      what: "The reasoning about the parts failed; readings and verdicts are not touched by it.",
      action: "Go on by the plan, and report it with this text.",
      cause,
    });
    this.#failed = error;
    for (const { reject } of this.#waiting.values()) reject(error);
    this.#waiting.clear();
  }
}
