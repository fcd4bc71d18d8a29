import type { ChosenMeter } from "../../drivers/links.js";
import { Arrivals, openSession } from "../../drivers/session.js";
import type { MeterSession } from "../../drivers/session.js";
import type { SessionEvent } from "../../drivers/session-state.js";
import { toLeadhandError } from "../../protocols/error.js";
import { conclusionOf } from "../../workbench/diagnosis/path-reasoner.js";
import type { Job } from "../../workbench/job/job-folder.js";
import { entryOfEvent, entryOfInput } from "../../workbench/job/journal-entry.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { RunEvent, RunInput } from "../../workbench/plan/run-event.js";
import type { Runner } from "../../workbench/plan/runner.js";
import type { Engine, EngineSetup } from "./engine-types.js";
import { channelName } from "./engine-job.js";
import type { OpenedJob } from "./engine-job.js";
import type { Ending } from "./engine-event.js";

/** See `startEngine`. */
export class RunningEngine implements Engine {
  readonly ended: Promise<Ending>;
  readonly #runner: Runner;
  readonly #job: Job;
  readonly #said: readonly RunEvent[] | null;
  readonly #journal: readonly JournalEvent[];
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
  /** Id of the step in progress. */
  #step: string | null = null;

  constructor(
    private readonly setup: EngineSetup,
    { job, runner, said, journal, gone }: OpenedJob,
  ) {
    this.ended = new Promise((resolve) => (this.#resolve = resolve));
    this.#job = job;
    this.#runner = runner;
    this.#said = said;
    this.#journal = journal;
    for (const channel of gone) {
      this.#gone.add(channel);
      this.#wasLive.add(channel);
    }
  }

  get folder(): string {
    return this.#job.folder;
  }

  now_s(): number {
    const elapsed_ns = this.setup.clock.now_ns() - this.#job.origin_ns;
    return Math.max(Number(elapsed_ns) / 1e9, this.#newest_s);
  }

  start(chosen: readonly ChosenMeter[]): void {
    if (this.#said === null) this.#dispatch(this.#runner.start());
    else this.#recall(this.#said);
    // All that was missing were the last lines; nobody has to measure anything for them.
    if (this.#said !== null && this.#runner.current === null) {
      this.#end("finished");
      return;
    }
    const arrivals = new Arrivals();
    chosen.forEach((meter, n) => {
      const session = openSession({
        channel: channelName(n),
        meter,
        clock: this.setup.clock,
        arrivals,
        rawSink: this.#job.sink,
        origin_ns: this.#job.origin_ns,
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

  aside(on: boolean): void {
    this.#feed({ kind: "aside", on, time_s: this.now_s() });
  }

  record(event: JournalEvent): Promise<void> {
    return this.#job.record(event);
  }

  interrupted(): void {
    if (this.#over || this.setup.recorded) return;
    const step = this.#step === null ? "" : ` The step "${this.#step}" was interrupted.`;
    this.#note(`The computer went to sleep.${step}`);
    for (const session of this.#sessions) session.interrupted();
  }

  resumed(): void {
    if (this.#over || this.setup.recorded) return;
    this.#note("The computer woke up; the meters are connected and verified anew.");
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

  /** Those who follow learn what was before; the hand takes its place for the step in progress. */
  #recall(said: readonly RunEvent[]): void {
    for (const event of said) {
      this.setup.hand?.(event);
      if (event.kind === "begin") this.#step = event.step;
      this.#newest_s = Math.max(this.#newest_s, event.time_s);
    }
    this.setup.emit({ kind: "past", events: said, journal: this.#journal });
  }

  #hear(event: SessionEvent): void {
    if (this.#over) return;
    this.setup.emit(event);
    if (event.kind === "reading") this.#reading(event);
    if (event.kind === "state") this.#meterState(event);
  }

  #reading({ reading, end }: Extract<SessionEvent, { kind: "reading" }>): void {
    if (this.#over) return;
    this.#newest_s = Math.max(this.#newest_s, reading.time_s);
    this.#job.readTo(reading.channel, end);
    this.#feed({ kind: "reading", reading });
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
      if (event.kind === "begin") this.#step = event.step;
      this.#after(entryOfEvent(event), event);
      if (event.kind === "finished") this.#end("finished");
    }
  }

  #note(words: string): void {
    this.#after({ kind: "note", time_s: this.now_s(), words }, null);
  }

  /** In order: the entry on disk, then the event to those who follow. */
  #after(entry: JournalEvent | null, event: RunEvent | null): void {
    // Asked for in this turn: the journal notes how far the traces have come, and replay goes by it.
    const recorded = entry ? this.#job.record(entry) : null;
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
    if (how === "finished") await this.#conclude();
    try {
      await this.#job.close();
    } catch (thrown) {
      this.setup.emit({ kind: "trouble", error: toLeadhandError(thrown) });
    }
    this.setup.emit({ kind: "ended", how });
    this.#resolve(how);
  }

  /** The conclusion is part of the record: a report made in ten years reads it there. */
  async #conclude(): Promise<void> {
    try {
      const path = await this.setup.conclude();
      const words = conclusionOf(path);
      const parts = path.parts.map((part) => ({ ...part }));
      await this.#job.record({ kind: "conclusion", time_s: this.#newest_s, words, parts });
      this.setup.emit({ kind: "concluded", words, path });
    } catch (thrown) {
      this.setup.emit({ kind: "trouble", error: toLeadhandError(thrown) });
    }
  }
}
