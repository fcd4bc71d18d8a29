import { Worker } from "node:worker_threads";
import { LeadhandError } from "../../protocols/error.js";
import type { ErrorCode } from "../../protocols/error.js";
import type { JobFilter } from "../../workbench/jobs/job-filter.js";
import type { FailureCount, OfTool, ResistancePoint } from "../../workbench/jobs/questions.js";
import type { IndexPlace, JobQuestions, ShopJobs } from "../../workbench/jobs/shop-index.js";

type Ask =
  | { readonly ask: "list"; readonly of: JobFilter }
  | { readonly ask: "failures" | "close"; readonly of: null }
  | { readonly ask: "resistance"; readonly of: OfTool };
export type IndexQuestion = Ask & { readonly id: number };

export interface IndexAnswer {
  readonly id: number;
  readonly value?: unknown;
  readonly error?: { readonly code: ErrorCode; readonly what: string; readonly action: string };
}

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** How long the thread and its memory are kept for a next question. */
const IDLE_MS = 120_000;

/**
 * The index of jobs in a thread of its own, begun at the first question and ended when nothing was
 * asked for a while: a bench that measures pays nothing for it.
 */
export class IndexThread implements JobQuestions {
  readonly #place: IndexPlace;
  readonly #waiting = new Map<number, Waiting>();
  #worker: Worker | null = null;
  #idle: NodeJS.Timeout | null = null;
  #next = 0;

  constructor(place: IndexPlace) {
    this.#place = place;
  }

  list(of: JobFilter): Promise<ShopJobs> {
    return this.#ask({ ask: "list", of }) as Promise<ShopJobs>;
  }

  failures(): Promise<FailureCount[]> {
    return this.#ask({ ask: "failures", of: null }) as Promise<FailureCount[]>;
  }

  resistance(of: OfTool): Promise<ResistancePoint[]> {
    return this.#ask({ ask: "resistance", of }) as Promise<ResistancePoint[]>;
  }

  async close(): Promise<void> {
    if (this.#idle) clearTimeout(this.#idle);
    const worker = this.#worker;
    if (worker === null) return;
    await this.#send(worker, { ask: "close", of: null }).catch(() => undefined);
    this.#worker = null;
    await worker.terminate();
  }

  #ask(question: Ask): Promise<unknown> {
    if (this.#idle) clearTimeout(this.#idle);
    this.#idle = setTimeout(() => void this.close(), IDLE_MS);
    this.#idle.unref();
    this.#worker ??= this.#start();
    return this.#send(this.#worker, question);
  }

  #send(worker: Worker, question: Ask): Promise<unknown> {
    const id = this.#next++;
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
      worker.postMessage({ id, ...question });
    });
  }

  #start(): Worker {
    const worker = new Worker(new URL("./index-worker.js", import.meta.url), {
      workerData: this.#place,
    });
    worker.on("message", ({ id, value, error }: IndexAnswer) => {
      const waiting = this.#waiting.get(id);
      this.#waiting.delete(id);
      if (error === undefined) waiting?.resolve(value);
      else waiting?.reject(new LeadhandError(error.code, error));
    });
    worker.on("error", (cause) => this.#fail(cause));
    worker.unref();
    return worker;
  }

  #fail(cause: unknown): void {
    this.#worker = null;
    const error = new LeadhandError("job/no-database", {
      what: `The index of jobs failed (${cause instanceof Error ? cause.message : String(cause)}).`,
      action: "The jobs themselves are not touched. Ask again; the index is made anew.",
      cause,
    });
    for (const { reject } of this.#waiting.values()) reject(error);
    this.#waiting.clear();
  }
}
