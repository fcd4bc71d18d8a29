import type { DecoderStats } from "../../protocols/decoder.js";
import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { ChannelReader } from "../../protocols/timing/channel-reader.js";
import type { ChannelStep } from "../../protocols/timing/channel-reader.js";
import type { TickStats } from "../../protocols/timing/tick.js";
import type { Closed } from "../link.js";
import type { MeterSession, SessionSetup } from "./contract.js";
import type { Advice, MeterState } from "../session-state.js";
import * as words from "./advice.js";
import { Arrivals } from "./arrivals.js";
import { Connector } from "./connector.js";
import { Watchdog } from "./watchdog.js";

/** The silence is looked at this often. */
const TICK_MS = 100;
/** An open meter that says nothing for so long needs a person's hand. */
const SILENT_S = 3;
/** Fewer bytes than this are no evidence against the settings. */
const FEW_BYTES = 40;

export class Session implements MeterSession {
  readonly #setup: SessionSetup;
  readonly #reader: ChannelReader;
  readonly #connector: Connector;
  #watchdog: Watchdog;
  #state: MeterState = "opening";
  #advice: Advice | null = null;
  #everLive = false;
  #asleep = false;
  #isExplained = false;
  readonly #arrivals: Arrivals;
  #ended = false;
  #cancelTick: () => void = () => undefined;
  #cancelWake: () => void = () => undefined;

  constructor(setup: SessionSetup) {
    this.#setup = setup;
    this.#arrivals = setup.arrivals ?? new Arrivals();
    const { channel, meter, clock, origin_ns } = setup;
    const { protocol, protocolOptions: options } = meter;
    this.#reader = new ChannelReader({ channel, protocol, options, origin_ns });
    this.#watchdog = new Watchdog(protocol.interval_s, this.#now_s());
    this.#connector = new Connector(() => meter.source(clock), clock, {
      opened: (at_ns) => this.#opened(at_ns),
      chunk: (chunk) => this.#chunk(chunk),
      lost: (closed) => this.#lost(closed),
      failed: (error) => this.#failed(error),
    });
    // Later than this call: the caller shall hold the session before it hears from it.
    this.#cancelTick = clock.after(0, () => {
      this.#tell();
      this.#connector.start();
    });
  }

  get channel(): string {
    return this.#setup.channel;
  }

  get state(): MeterState {
    return this.#state;
  }

  get stats(): DecoderStats {
    return this.#reader.stats;
  }

  get timing(): TickStats {
    return this.#reader.timing;
  }

  interrupted(): void {
    if (this.#ended || this.#asleep) return;
    this.#asleep = true;
    if (this.#everLive) this.#enter("stale", words.sleepAdvice());
  }

  resumed(): void {
    if (this.#ended) return;
    this.#asleep = false;
    this.#quiet();
    if (this.#everLive) this.#enter("lost", words.sleepAdvice());
    void this.#connector.renew();
  }

  async close(): Promise<void> {
    this.#end(null);
    await this.#connector.stop();
  }

  #opened(at_ns: bigint): void {
    this.#watchdog = new Watchdog(this.#setup.meter.protocol.interval_s, this.#seconds(at_ns));
    if (this.#state !== "silent") this.#enter("silent", null);
    this.#tick();
    this.#take({ bytes: new Uint8Array(0), arrival_ns: at_ns });
  }

  #chunk(chunk: Chunk): void {
    // A recording also holds the openings of its own links; they mark the same here.
    this.#watchdog.bytes(chunk.bytes);
    this.#take(chunk);
  }

  /** The log first, then the decoder, then the world. */
  #take(given: Chunk): void {
    if (this.#ended) return;
    const { channel, rawSink } = this.#setup;
    const chunk = given.bytes.length === 0 ? given : this.#arrivals.place(channel, given);
    try {
      rawSink.append(channel, chunk);
    } catch (thrown) {
      this.#end(words.adviceOf(toLeadhandError(thrown)));
      void this.#connector.stop();
      return;
    }
    const step = this.#reader.push(chunk);
    if (chunk.bytes.length > 0 && cameToSomething(step)) this.#arrivals.answered();
    this.#follow(step, this.#seconds(chunk.arrival_ns));
  }

  #follow(step: ChannelStep, now_s: number): void {
    for (const bytes of step.write) this.#write(bytes);
    this.#wakeAt(step.wake_ns);
    for (const text of step.notes) {
      this.#setup.onEvent({ kind: "note", channel: this.channel, time_s: now_s, text });
    }
    if (step.readings.length === 0) return;
    this.#watchdog.frame(now_s);
    this.#connector.healthy();
    this.#everLive = true;
    if (!this.#asleep) this.#enter("live", null);
    for (const [n, reading] of step.readings.entries()) {
      const end = step.ends[n] ?? 0;
      if (!this.#ended) this.#setup.onEvent({ kind: "reading", reading, end });
    }
  }

  #write(bytes: Uint8Array): void {
    this.#connector.write(bytes).catch((thrown: unknown) => {
      if (this.#ended) return;
      this.#quiet();
      this.#enter("lost", words.adviceOf(toLeadhandError(thrown)));
      void this.#connector.renew();
    });
  }

  #wakeAt(wake_ns: bigint | null): void {
    this.#cancelWake();
    if (wake_ns === null) return;
    const { clock } = this.#setup;
    const delay_ms = Math.max(0, Math.ceil(Number(wake_ns - clock.now_ns()) / 1e6));
    this.#cancelWake = clock.after(delay_ms, () => {
      if (!this.#ended) this.#follow(this.#reader.wake(), this.#now_s());
    });
  }

  #lost(closed: Closed): void {
    if (this.#ended) return;
    if (closed.by === "end-of-recording") {
      this.#end(null);
      void this.#connector.stop();
      return;
    }
    this.#quiet();
    const advice = closed.error === undefined ? null : words.adviceOf(closed.error);
    this.#enter("lost", advice);
  }

  #failed(error: LeadhandError): void {
    if (this.#ended) return;
    const state = words.stateOf(error);
    // Gone after it was live is "lost", with the advice that said why, until it is back.
    if (this.#everLive && state === "absent" && !words.isFinal(error)) return;
    this.#enter(state, words.adviceOf(error));
  }

  #tick(): void {
    this.#cancelTick();
    this.#cancelTick = this.#setup.clock.after(TICK_MS, () => {
      this.#tick();
      if (!this.#asleep) this.#judgeSilence();
    });
  }

  #judgeSilence(): void {
    const { meter } = this.#setup;
    const dog = this.#watchdog;
    const age_s = dog.age_s(this.#now_s());
    if (meter.vanishes && age_s > dog.dead_s && dog.bytesSinceFrame < FEW_BYTES) {
      this.#vanished(age_s);
    } else if (dog.bytesSinceFrame >= FEW_BYTES && age_s > dog.unreadable_s) {
      this.#unreadable();
    } else if (this.#state === "live" && age_s > dog.overdue_s) {
      this.#enter("stale", words.staleAdvice(meter.title, dog.overdue_s));
    } else if (this.#state === "silent" && age_s > Math.max(SILENT_S, dog.overdue_s)) {
      this.#enter("silent", words.silentAdvice(meter.title));
    }
  }

  #unreadable(): void {
    const { meter } = this.#setup;
    // Once more bytes are there, what they are can become clear.
    if (this.#state === "unreadable" && this.#isExplained) return;
    const fits = meter.suggest?.(this.#watchdog.unread) ?? null;
    if (this.#state === "unreadable" && fits === null) return;
    this.#isExplained = fits !== null;
    this.#enter("unreadable", words.unreadableAdvice(meter.title, meter.protocol.id, fits));
  }

  #vanished(age_s: number): void {
    this.#quiet();
    if (this.#everLive) this.#enter("lost", words.quietAdvice(this.#setup.meter.title, age_s));
    void this.#connector.renew();
  }

  /** No timer of the connection that ended may speak for the next. */
  #quiet(): void {
    this.#cancelTick();
    this.#cancelWake();
  }

  #end(advice: Advice | null): void {
    if (this.#ended) return;
    this.#quiet();
    this.#enter("closed", advice);
    this.#ended = true;
  }

  #enter(state: MeterState, advice: Advice | null): void {
    if (state === this.#state && advice?.action === this.#advice?.action) return;
    this.#state = state;
    this.#advice = advice;
    this.#tell();
  }

  #tell(): void {
    const { channel, onEvent } = this.#setup;
    const [state, advice] = [this.#state, this.#advice];
    onEvent({ kind: "state", channel, state, time_s: this.#now_s(), advice });
  }

  #now_s(): number {
    return this.#seconds(this.#setup.clock.now_ns());
  }

  #seconds(at_ns: bigint): number {
    return Number(at_ns - this.#setup.origin_ns) / 1e9;
  }
}

function cameToSomething({ readings, write, notes }: ChannelStep): boolean {
  return readings.length + write.length + notes.length > 0;
}
