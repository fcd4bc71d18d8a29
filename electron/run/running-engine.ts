import type { Order } from "../../workbench/contract/orders.js";
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
import { FreeOrder } from "./free-order.js";

type ReadingEvent = Extract<SessionEvent, { kind: "reading" }>;

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
  /** What came while the next step was being chosen. */
  readonly #waiting: ReadingEvent[] = [];
  readonly #free: FreeOrder;

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
    this.#free = new FreeOrder({
      plan: setup.plan,
      reasoning: setup.reasoning,
      record: (event) => job.record(event),
      tell: (free) => setup.emit({ kind: "free", free }),
      taken: () => setup.emit({ kind: "probed" }),
      goOn: () => this.setOrder("proposed"),
      hand: setup.hand && ((moment) => setup.hand?.hearFree(moment)),
      hold: (work) => setup.hold?.(work),
      trouble: (error) => setup.emit({ kind: "trouble", error }),
    });
  }

  get folder(): string {
    return this.#job.folder;
  }

  now_s(): number {
    const elapsed_ns = this.setup.clock.now_ns() - this.#job.origin_ns;
    return Math.max(Number(elapsed_ns) / 1e9, this.#newest_s);
  }

  start(chosen: readonly ChosenMeter[]): void {
    if (this.#said === null) this.#begin();
    else this.#recall(this.#said);
    // All that was missing were the last lines; nobody has to measure anything for them.
    if (this.#said !== null && this.#runner.over) {
      this.#end("finished");
      return;
    }
    this.#free.follow(this.#runner);
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

  get order(): Order {
    return this.#runner.order;
  }

  setOrder(order: Order): void {
    if (order !== this.order) this.#feed({ kind: "order", order, time_s: this.now_s() });
  }

  declare(place: number | null): void {
    this.#free.declare(place);
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

  /** The record says from its first line on which order was followed. */
  #begin(): void {
    const { order } = this.#runner;
    this.#after({ kind: "order", time_s: 0, order }, null);
    this.#dispatch(this.#runner.start());
  }

  /** Those who follow learn what was before; the hand takes its place for the step in progress. */
  #recall(said: readonly RunEvent[]): void {
    for (const event of said) {
      this.setup.hand?.hear(event);
      if (event.kind === "begin") this.#step = event.step;
      if (event.kind === "step") this.setup.reasoning.take(event.result);
      this.#newest_s = Math.max(this.#newest_s, event.time_s);
    }
    for (const event of this.#journal) {
      if (event.kind === "probed") this.setup.reasoning.recall(event);
    }
    this.setup.emit({ kind: "past", events: said, journal: this.#journal });
    const asked = said.findLast((event) => event.kind === "choose");
    if (this.#runner.choosing && asked) this.#ask(asked);
  }

  #hear(event: SessionEvent): void {
    if (this.#over) return;
    this.setup.emit(event);
    if (event.kind === "reading") this.#reading(event);
    if (event.kind === "state") this.#meterState(event);
  }

  #reading(event: ReadingEvent): void {
    if (this.#over) return;
    this.#newest_s = Math.max(this.#newest_s, event.reading.time_s);
    if (this.#runner.choosing) this.#waiting.push(event);
    else this.#read(event);
  }

  #read({ reading, end }: ReadingEvent): void {
    this.#job.readTo(reading.channel, end);
    this.#feed({ kind: "reading", reading });
    this.#free.push(reading, this.#runner);
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
      if (input.kind === "order") this.#ordered(input.order);
    } catch (thrown) {
      this.trouble(thrown);
    }
  }

  #ordered(order: Order): void {
    this.setup.emit({ kind: "order", order });
    this.#free.follow(this.#runner);
    this.#catchUp();
  }

  #dispatch(events: readonly RunEvent[]): void {
    for (const event of events) {
      this.setup.hand?.hear(event);
      if (event.kind === "begin") this.#step = event.step;
      if (event.kind === "step") this.setup.reasoning.take(event.result);
      this.#after(entryOfEvent(event), event);
      if (event.kind === "choose") this.#ask(event);
      if (event.kind === "finished") this.#end("finished");
    }
  }

  #ask(event: Extract<RunEvent, { kind: "choose" }>): void {
    const chosen = this.#choose(event);
    this.setup.hold?.(chosen);
  }

  /** Where the reasoning fails, the plan's own order goes on. */
  async #choose({ time_s, state, open }: Extract<RunEvent, { kind: "choose" }>): Promise<void> {
    try {
      const choice = await this.setup.reasoning.choose({ state, open });
      // Another order may have been asked for meanwhile.
      if (this.#runner.choosing) this.#feed({ kind: "chosen", time_s, ...choice });
    } catch (thrown) {
      this.setup.emit({ kind: "trouble", error: toLeadhandError(thrown) });
      this.setOrder("fixed");
    }
    this.#catchUp();
  }

  /** What came meanwhile, in its order. */
  #catchUp(): void {
    while (!this.#runner.choosing) {
      const event = this.#waiting.shift();
      if (event === undefined) return;
      this.#read(event);
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
    await this.setup.reasoning.close();
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
      const path = await this.setup.reasoning.path();
      const words = conclusionOf(path);
      const parts = path.parts.map((part) => ({ ...part }));
      await this.#job.record({ kind: "conclusion", time_s: this.#newest_s, words, parts });
      this.setup.emit({ kind: "concluded", words, path });
    } catch (thrown) {
      this.setup.emit({ kind: "trouble", error: toLeadhandError(thrown) });
    }
  }
}
