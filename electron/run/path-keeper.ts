import { Worker } from "node:worker_threads";
import { LeadhandError } from "../../protocols/error.js";
import type { PowerPath } from "../../workbench/contract/events.js";
import type { Declared } from "../../workbench/diagnosis/free/free-probing.js";
import type { HeldReading, Match } from "../../workbench/diagnosis/free/match.js";
import type { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import type { Measured } from "../../workbench/diagnosis/observation.js";
import type { Experience } from "../../workbench/models/experience.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { StepResult } from "../../workbench/plan/step-result.js";

type Recorded = Parameters<PathReasoner["recall"]>[0];

/** What the thread is asked; each question has its own kind of answer. */
export type PathQuestion =
  | { readonly ask: "path"; readonly result: StepResult | null }
  | { readonly ask: "free"; readonly observation: Measured }
  | { readonly ask: "recall"; readonly recorded: Recorded }
  | { readonly ask: "match"; readonly held: HeldReading }
  | { readonly ask: "places" };

interface Waiting {
  readonly resolve: (answer: never) => void;
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

  constructor(
    plan: Plan,
    data: Readonly<Record<string, number>>,
    experience: Experience | null = null,
  ) {
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

  /** Takes a result, if one is given, and resolves with the path as it is then. */
  path(result: StepResult | null): Promise<PowerPath> {
    return this.#ask<PowerPath>({ ask: "path", result });
  }

  /** Takes a reading that was taken beside the plan, and resolves with the path as it is then. */
  takeFree(observation: Measured): Promise<PowerPath> {
    return this.#ask<PowerPath>({ ask: "free", observation });
  }

  /** A reading taken beside the plan in an earlier sitting. */
  recall(recorded: Recorded): Promise<null> {
    return this.#ask<null>({ ask: "recall", recorded });
  }

  /** Where probes that show this may be, the likeliest first. */
  matches(held: HeldReading): Promise<Match[]> {
    return this.#ask<Match[]>({ ask: "match", held });
  }

  /** All places of this kind of tool. */
  places(): Promise<Declared[]> {
    return this.#ask<Declared[]>({ ask: "places" });
  }

  #ask<T>(question: PathQuestion): Promise<T> {
    // A dead thread answers nobody, and a run that waits for it would never end.
    if (this.#failed !== null) return Promise.reject(this.#failed);
    const id = this.#next++;
    this.#worker.postMessage({ id, ...question });
    return new Promise<T>((resolve, reject) => {
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
