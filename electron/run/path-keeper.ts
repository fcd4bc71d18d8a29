import { Worker } from "node:worker_threads";
import { LeadhandError } from "../../protocols/error.js";
import type { Experience } from "../../workbench/models/experience.js";
import type { Plan } from "../../workbench/plan/schema.js";
import { Reasoning } from "./reasoning.js";
import type { PathQuestion } from "./reasoning.js";

interface Waiting {
  readonly resolve: (answer: never) => void;
  readonly reject: (error: Error) => void;
}

/** Reasons in a thread of its own, so that reading the meter never waits for it. */
export class PathKeeper extends Reasoning {
  readonly #worker: Worker;
  readonly #waiting = new Map<number, Waiting>();
  #next = 0;
  #failed: LeadhandError | null = null;

  constructor(
    plan: Plan,
    data: Readonly<Record<string, number>>,
    experience: Experience | null = null,
  ) {
    super();
    this.#worker = new Worker(new URL("./path-worker.js", import.meta.url), {
      workerData: { plan, data, experience },
    });
    this.#worker.on("message", ({ id, answer }: { id: number; answer: never }) => {
      this.#waiting.get(id)?.resolve(answer);
      this.#waiting.delete(id);
    });
    this.#worker.on("error", (thrown) => {
      this.#fail(thrown);
    });
    // A thread that is thinking must not keep a finished program alive.
    this.#worker.unref();
  }

  async close(): Promise<void> {
    await this.#worker.terminate();
    this.#waiting.clear();
  }

  protected ask<T>(question: PathQuestion): Promise<T> {
    // A dead thread answers nobody, and a run that waits for it would never end.
    if (this.#failed !== null) return Promise.reject(this.#failed);
    const id = this.#next++;
    this.#worker.postMessage({ id, ...question });
    return new Promise<T>((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
    });
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
