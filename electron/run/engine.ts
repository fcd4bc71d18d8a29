import type { Clock } from "../../drivers/clock.js";
import { chooseMeter } from "../../drivers/links.js";
import type { ChosenMeter } from "../../drivers/links.js";
import type { LinkKind } from "../../drivers/link-kind.js";
import { openSession } from "../../drivers/session.js";
import type { MeterSession } from "../../drivers/session.js";
import type { SessionEvent } from "../../drivers/session-state.js";
import { toLeadhandError } from "../../protocols/error.js";
import { findProtocol, protocols } from "../../protocols/registry.js";
import { createJob } from "../../workbench/job/job-folder.js";
import type { Job, NewJob } from "../../workbench/job/job-folder.js";
import { entryOfEvent, entryOfInput } from "../../workbench/job/journal-entry.js";
import { runnerFor } from "../../workbench/job/job-runner.js";
import type { Customer } from "../../workbench/job/job-file.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { Accuracy } from "../../workbench/measurement/accuracy.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { RunEvent, RunInput } from "../../workbench/plan/run-event.js";
import type { Runner } from "../../workbench/plan/runner.js";
import type { Ending, EngineEvent } from "./engine-event.js";

export interface EngineSetup {
  readonly plan: Plan;
  /** Meter addresses; the first is channel a. */
  readonly meters: readonly string[];
  /** A new or empty folder. */
  readonly folder: string;
  readonly tool: NewJob["tool"];
  readonly customer?: Customer | undefined;
  readonly accuracy: Accuracy | null;
  /** ISO 8601 with offset: the time of day that is zero on the job's time base. */
  readonly startedAt: string;
  readonly programVersion: string;
  readonly practice: boolean;
  readonly clock: Clock;
  /** Links beside the built-in ones, such as the practice bench. */
  readonly links: readonly LinkKind[];
  /** Hears runner events at once and before anybody else: the hand of the practice bench. */
  readonly hand?: (event: RunEvent) => void;
  readonly emit: (event: EngineEvent) => void;
}

/** A plan being run: meters, runner and job joined. */
export interface Engine {
  readonly folder: string;
  /** Resolves once, after everything that was emitted as recorded is on disk and all is closed. */
  readonly ended: Promise<Ending>;
  confirm(step: string, choice: string | null): void;
  skip(step: string, reason: string): void;
  repeat(step: string): void;
  /** Puts down what is no input of the plan; resolves when it is on disk. */
  record(event: JournalEvent): Promise<void>;
  /** The job's time now, seconds; never before the newest reading. */
  now_s(): number;
  interrupted(): void;
  resumed(): void;
  stop(): Promise<void>;
}

/**
 * Makes the job, opens the meters, starts the plan. Rejects with a `LeadhandError` for a bad
 * address or a folder that cannot be used; afterwards whatever goes wrong is an event.
 */
export async function startEngine(setup: EngineSetup): Promise<Engine> {
  const chosen = setup.meters.map((address) =>
    chooseMeter(address, {
      protocol: findProtocol,
      all: protocols.values(),
      links: setup.links,
    }),
  );
  const origin_ns = setup.clock.now_ns();
  const onTrouble: { report: ((error: unknown) => void) | null } = { report: null };
  const job = await createJob(setup.folder, newJob(setup, chosen, origin_ns), {
    clock: setup.clock,
    onTrouble: (error) => {
      if (error) onTrouble.report?.(error);
    },
  });
  const engine = new RunningEngine(setup, job);
  onTrouble.report = (error) => {
    engine.trouble(error);
  };
  engine.start(chosen);
  return engine;
}

function newJob(setup: EngineSetup, chosen: readonly ChosenMeter[], origin_ns: bigint): NewJob {
  return {
    startedAt: setup.startedAt,
    programVersion: setup.programVersion,
    practice: setup.practice,
    tool: setup.tool,
    ...(setup.customer === undefined ? {} : { customer: setup.customer }),
    plan: setup.plan,
    origin_ns,
    meters: setup.meters.map((address, n) => ({
      channel: channelName(n),
      address,
      protocol: chosen[n]?.protocol.id ?? "",
      options: { ...chosen[n]?.protocolOptions },
      title: setup.accuracy?.meter ?? chosen[n]?.title ?? "",
      calibratedOn: setup.accuracy?.calibrated ?? null,
      accuracy: setup.accuracy,
    })),
  };
}

function channelName(n: number): string {
  return String.fromCharCode("a".charCodeAt(0) + n);
}

class RunningEngine implements Engine {
  readonly ended: Promise<Ending>;
  readonly #runner: Runner;
  readonly #sessions: MeterSession[] = [];
  /** Events leave in order, each after what has to be on disk before it. */
  #tail: Promise<void> = Promise.resolve();
  /** Channels that the runner believes to be gone. */
  readonly #gone = new Set<string>();
  readonly #wasLive = new Set<string>();
  readonly #closed = new Set<string>();
  #over = false;
  #resolve: (how: Ending) => void = () => undefined;
  #newest_s = 0;

  constructor(
    private readonly setup: EngineSetup,
    private readonly job: Job,
  ) {
    this.ended = new Promise((resolve) => (this.#resolve = resolve));
    this.#runner = runnerFor(job.file, 0);
  }

  get folder(): string {
    return this.job.folder;
  }

  start(chosen: readonly ChosenMeter[]): void {
    this.#dispatch(this.#runner.start());
    chosen.forEach((meter, n) => {
      const session = openSession({
        channel: channelName(n),
        meter,
        clock: this.setup.clock,
        rawSink: this.job.sink,
        origin_ns: this.job.origin_ns,
        onEvent: (event) => {
          this.#hear(event);
        },
      });
      this.#sessions.push(session);
    });
  }

  confirm(step: string, choice: string | null): void {
    this.#feed({ kind: "confirm", step, choice, time_s: this.now_s() });
  }

  skip(step: string, reason: string): void {
    this.#feed({ kind: "skip", step, reason, time_s: this.now_s() });
  }

  repeat(step: string): void {
    this.#feed({ kind: "repeat", step, time_s: this.now_s() });
  }

  record(event: JournalEvent): Promise<void> {
    return this.job.record(event);
  }

  interrupted(): void {
    for (const session of this.#sessions) session.interrupted();
  }

  resumed(): void {
    for (const session of this.#sessions) session.resumed();
  }

  async stop(): Promise<void> {
    this.#end("stopped");
    await this.ended;
  }

  trouble(thrown: unknown): void {
    if (this.#over) return;
    this.setup.emit({ kind: "trouble", error: toLeadhandError(thrown) });
    this.#end("trouble");
  }

  now_s(): number {
    const elapsed_ns = this.setup.clock.now_ns() - this.job.origin_ns;
    return Math.max(Number(elapsed_ns) / 1e9, this.#newest_s);
  }

  #hear(event: SessionEvent): void {
    if (this.#over) return;
    if (event.kind === "reading") {
      this.#newest_s = event.reading.time_s;
      this.setup.emit(event);
      this.#feed(event);
      return;
    }
    this.setup.emit(event);
    if (event.kind === "state") this.#meterState(event);
  }

  /** The runner is told when a meter that was there goes, and when it is back. */
  #meterState({ channel, state, time_s }: Extract<SessionEvent, { kind: "state" }>): void {
    if (state === "live") {
      this.#wasLive.add(channel);
      if (this.#gone.delete(channel)) this.#feed({ kind: "meter", channel, state: "live", time_s });
    } else if (this.#wasLive.has(channel) && !this.#gone.has(channel)) {
      this.#gone.add(channel);
      this.#feed({ kind: "meter", channel, state: "lost", time_s });
    }
    if (state === "closed") this.#closed.add(channel);
    if (this.#closed.size === this.setup.meters.length) this.#end("meter-ended");
  }

  #feed(input: RunInput): void {
    if (this.#over) return;
    const entry = entryOfInput(input);
    if (entry) this.#after(entry, null);
    try {
      this.#dispatch(this.#runner.push(input));
    } catch (thrown) {
      this.trouble(thrown);
    }
  }

  #dispatch(events: readonly RunEvent[]): void {
    for (const event of events) {
      this.setup.hand?.(event);
      this.#after(entryOfEvent(event), event);
      if (event.kind === "finished") this.#end("finished");
    }
  }

  /** In order: the entry on disk, then the event to those who follow. */
  #after(entry: JournalEvent | null, event: RunEvent | null): void {
    // Asked for in this turn: the journal notes how far the traces have come, and replay goes by it.
    const recorded = entry ? this.job.record(entry) : null;
    recorded?.catch(() => undefined);
    this.#tail = this.#tail.then(async () => {
      await recorded;
      if (event) this.setup.emit({ kind: "run", event });
    });
    this.#tail = this.#tail.catch((thrown: unknown) => {
      this.trouble(thrown);
    });
  }

  #end(how: Ending): void {
    if (this.#over) return;
    this.#over = true;
    void this.#close(how);
  }

  async #close(how: Ending): Promise<void> {
    await Promise.all(this.#sessions.map((session) => session.close()));
    // Nobody reads the meters any more: a window must not show the last number as if it were live.
    for (const { channel } of this.#sessions) {
      this.setup.emit({
        kind: "state",
        channel,
        state: "closed",
        time_s: this.now_s(),
        advice: null,
      });
    }
    await this.#tail;
    try {
      await this.job.close();
    } catch (thrown) {
      this.setup.emit({ kind: "trouble", error: toLeadhandError(thrown) });
    }
    this.setup.emit({ kind: "ended", how });
    this.#resolve(how);
  }
}
