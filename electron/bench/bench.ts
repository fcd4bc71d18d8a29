import { join } from "node:path";
import type { Clock } from "../../drivers/clock.js";
import { systemClock } from "../../drivers/clock.js";
import { toLeadhandError } from "../../protocols/error.js";
import type { Reply } from "../../workbench/contract/calls.js";
import type { BenchEvent } from "../../workbench/contract/events.js";
import { prepareGoOn, prepareRun } from "../run/prepare.js";
import type { PreparedRun, RunRequest } from "../run/prepare.js";
import type { IndexPlace, JobQuestions } from "../../workbench/jobs/shop-index.js";
import { indexPlace } from "../jobs/index-place.js";
import { IndexThread } from "../jobs/index-thread.js";
import { programVersion } from "../version.js";
import type { BenchPort } from "./bench-port.js";
import { answerCall } from "./calls-server.js";
import type { Handlers } from "./calls-server.js";
import { benchHandlers } from "./handlers.js";
import type { BenchControl } from "./handlers.js";
import type { BenchOptions } from "./options.js";
import { Picture } from "./picture.js";
import { startBenchRun } from "./bench-run.js";
import type { BenchRun, OpenReasoning } from "./bench-run.js";
import { PathKeeper } from "../run/path-keeper.js";

/**
 * The bench process, apart from any window: at most one run at a time, and as many windows as
 * connect. A window that stalls or goes away changes nothing here.
 */
export class Bench implements BenchPort, BenchControl {
  readonly #listeners = new Set<(event: BenchEvent) => void>();
  readonly #picture = new Picture();
  readonly #handlers: Handlers;
  readonly #options: BenchOptions;
  #run: BenchRun | null = null;
  #cancelTick: () => void = () => undefined;
  #starting: Promise<unknown> = Promise.resolve();

  readonly place: IndexPlace;
  readonly index: JobQuestions;

  /** Index and reasoning are kept in threads of their own where nothing is said. */
  constructor(
    options: BenchOptions,
    readonly clock: Clock = systemClock,
    openIndex: (place: IndexPlace) => JobQuestions = (place) => new IndexThread(place),
    private readonly openReasoning: OpenReasoning = (...args) => new PathKeeper(...args),
  ) {
    this.#options = options;
    this.place = indexPlace(options.jobs, process.env);
    this.index = openIndex(this.place);
    // Here and not beside the field: fields are made before the constructor's own parameters.
    this.#handlers = benchHandlers(this);
    this.#tick();
  }

  /** Begins what the command line asked for; a failure is shown in the window, not thrown. */
  async begin(): Promise<void> {
    if (!this.#options.begin) return;
    await this.startRun(this.#options.begin).catch((thrown: unknown) => {
      this.#tell(troubleEvent(thrown));
    });
  }

  snapshot(): readonly BenchEvent[] {
    const hello: BenchEvent = {
      type: "hello",
      version: programVersion(),
      time_s: this.#time_s(),
      calls: Object.keys(this.#handlers),
    };
    return [hello, ...this.#picture.events(), ...(this.#run?.plots() ?? [])];
  }

  subscribe(listener: (event: BenchEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  answer(request: unknown): Promise<Reply> {
    return answerCall(this.#handlers, request);
  }

  get jobs(): string {
    return this.place.jobs;
  }

  get run(): BenchRun | null {
    return this.#run;
  }

  /** Ends the present run, if any, and starts another; one request after the other. */
  startRun(request: RunRequest): Promise<BenchRun> {
    return this.#begin(() => prepareRun(request, this.place.jobs, this.clock));
  }

  /** Goes on with an interrupted job of that name; what went before is shown, not announced. */
  async goOn(job: string): Promise<BenchRun> {
    const run = await this.#begin(() => prepareGoOn(join(this.place.jobs, job), this.clock));
    // A hello begins it, by which windows know that what follows is old news.
    for (const event of this.snapshot()) this.#announce(event);
    return run;
  }

  #begin(prepare: () => Promise<PreparedRun>): Promise<BenchRun> {
    const started = this.#starting.then(async () => {
      const prepared = await prepare();
      await this.#run?.engine?.stop();
      this.#run = await startBenchRun(
        prepared,
        (event, past) => {
          if (past) this.#picture.take(event);
          else this.#tell(event);
        },
        this.openReasoning,
      );
      return this.#run;
    });
    this.#starting = started.catch(() => undefined);
    return started;
  }

  interrupted(): void {
    this.#run?.engine?.interrupted();
  }

  resumed(): void {
    this.#run?.engine?.resumed();
  }

  /** Ends the run; what it recorded is on disk when this resolves. */
  async close(): Promise<void> {
    this.#cancelTick();
    await this.#starting;
    await this.#run?.engine?.stop();
    await this.index.close();
  }

  #time_s(): number {
    return this.#run?.time_s() ?? 0;
  }

  #tell(event: BenchEvent): void {
    this.#picture.take(event);
    this.#announce(event);
  }

  #announce(event: BenchEvent): void {
    for (const listener of this.#listeners) listener(event);
  }

  /** Once a second, so that a window can tell a bench that hangs from a meter that is silent. */
  #tick(): void {
    this.#cancelTick = this.clock.after(1000, () => {
      this.#tell({ type: "clock", time_s: this.#time_s() });
      this.#tick();
    });
  }
}

function troubleEvent(thrown: unknown): BenchEvent {
  const { code, what, action } = toLeadhandError(thrown);
  return { type: "trouble", error: { code, what, action } };
}
