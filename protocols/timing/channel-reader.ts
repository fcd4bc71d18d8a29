import type { Decoder, DecoderStats } from "../decoder.js";
import type { Dialogue, DialogueStep } from "../dialogue.js";
import type { Protocol, ProtocolOptions } from "../protocol.js";
import type { Chunk } from "../raw-log.js";
import type { Reading, TimedReading } from "../reading.js";
import { Tick } from "./tick.js";
import type { TickStats } from "./tick.js";

export interface ChannelSetup {
  readonly channel: string;
  readonly protocol: Protocol;
  readonly options?: ProtocolOptions;
  /** Time 0 of the job, on the clock of the chunks. */
  readonly origin_ns: bigint;
}

/** What came of a chunk or of a timer: what to send, when to call `wake`, what was read. */
export interface ChannelStep {
  readonly write: readonly Uint8Array[];
  /** Call `wake` when the clock gets there, unless a chunk comes first; null: no need. */
  readonly wake_ns: bigint | null;
  readonly readings: readonly TimedReading[];
  /** For each reading, the raw bytes up to and with the last one it comes of, from the first. */
  readonly ends: readonly number[];
  readonly notes: readonly string[];
}

/** More timer calls than this for one chunk is a dialogue that never moves on. */
const MOST_WAKES = 100_000;

/**
 * One meter's bytes to timed readings. Live session and replay both read through this, and what
 * comes out depends on the chunks alone: a timer is run at the time it was set for, before any
 * chunk that arrived later, however late the live clock really called `wake`.
 */
export class ChannelReader {
  readonly #setup: ChannelSetup;
  readonly #tick: Tick;
  #decoder: Decoder | null = null;
  #dialogue: Dialogue | null = null;
  #wake_s: number | null = null;
  /** Raw bytes so far, and as many as there were when the decoder or dialogue began. */
  #given = 0;
  #begunAt = 0;
  #before: DecoderStats = { frames: 0, skippedBytes: 0, rejected: {} };

  constructor(setup: ChannelSetup) {
    this.#setup = setup;
    this.#tick = new Tick(setup.protocol.interval_s);
  }

  /** Decoder statistics over all connections so far. */
  get stats(): DecoderStats {
    const now = (this.#dialogue ?? this.#decoder)?.stats;
    return now === undefined ? this.#before : addStats(this.#before, now);
  }

  /** How evenly the meter ticks, and how late its readings came. */
  get timing(): TickStats {
    return this.#tick.stats;
  }

  push(chunk: Chunk): ChannelStep {
    const gathered = nothing();
    const now_s = this.#seconds(chunk.arrival_ns);
    const opened = chunk.bytes.length === 0;
    if (!opened) this.#runTimers(now_s, gathered);
    if (opened || (this.#decoder ?? this.#dialogue) === null) this.#start(now_s, gathered);
    if (!opened) this.#read(chunk.bytes, now_s, gathered);
    return this.#step(gathered);
  }

  /** The time asked for in `wake_ns` has come. */
  wake(): ChannelStep {
    const gathered = nothing();
    if (this.#wake_s !== null) this.#timer(this.#wake_s, gathered);
    return this.#step(gathered);
  }

  #start(now_s: number, gathered: Gathered): void {
    this.#before = this.stats;
    this.#tick.reopen(now_s);
    const { protocol, options } = this.#setup;
    this.#dialogue = protocol.createDialogue?.(options) ?? null;
    this.#decoder = this.#dialogue === null ? protocol.createDecoder(options) : null;
    this.#wake_s = null;
    this.#begunAt = this.#given;
    if (this.#dialogue !== null) this.#take(this.#dialogue.start(now_s), now_s, gathered);
  }

  #read(bytes: Uint8Array, now_s: number, gathered: Gathered): void {
    const before = this.#given;
    this.#given += bytes.length;
    if (this.#dialogue !== null) {
      this.#take(this.#dialogue.onBytes(bytes, now_s), now_s, gathered);
    } else if (this.#decoder !== null) {
      const ends: number[] = [];
      this.#time(this.#decoder.push(bytes, ends), now_s, gathered);
      for (const end of ends) gathered.ends.push(before + end);
    }
  }

  #runTimers(now_s: number, gathered: Gathered): void {
    for (let turn = 0; this.#wake_s !== null && this.#wake_s <= now_s; turn += 1) {
      if (turn === MOST_WAKES) return;
      this.#timer(this.#wake_s, gathered);
    }
  }

  #timer(at_s: number, gathered: Gathered): void {
    if (this.#dialogue !== null) this.#take(this.#dialogue.onTimer(at_s), at_s, gathered);
  }

  #take(step: DialogueStep, now_s: number, gathered: Gathered): void {
    this.#wake_s = step.wake_s;
    if (step.write !== null) gathered.write.push(step.write);
    gathered.notes.push(...step.notes);
    this.#time(step.readings, now_s, gathered);
    for (const end of step.ends) gathered.ends.push(this.#begunAt + end);
  }

  #time(readings: readonly Reading[], arrival_s: number, gathered: Gathered): void {
    const { channel } = this.#setup;
    const times = this.#tick.push(arrival_s, readings.length);
    for (const [n, reading] of readings.entries()) {
      gathered.readings.push({ ...reading, time_s: times[n] ?? arrival_s, channel });
    }
  }

  #step(gathered: Gathered): ChannelStep {
    const wake = this.#wake_s;
    const { origin_ns } = this.#setup;
    // Rounded up, so that a timer is never called before its time.
    return {
      ...gathered,
      wake_ns: wake === null ? null : origin_ns + BigInt(Math.ceil(wake * 1e9)),
    };
  }

  #seconds(at_ns: bigint): number {
    return Number(at_ns - this.#setup.origin_ns) / 1e9;
  }
}

interface Gathered {
  readonly write: Uint8Array[];
  readonly readings: TimedReading[];
  readonly ends: number[];
  readonly notes: string[];
}

function nothing(): Gathered {
  return { write: [], readings: [], ends: [], notes: [] };
}

function addStats(a: DecoderStats, b: DecoderStats): DecoderStats {
  const rejected: Record<string, number> = { ...a.rejected };
  for (const [reason, count] of Object.entries(b.rejected)) {
    rejected[reason] = (rejected[reason] ?? 0) + count;
  }
  return {
    frames: a.frames + b.frames,
    skippedBytes: a.skippedBytes + b.skippedBytes,
    rejected,
  };
}
