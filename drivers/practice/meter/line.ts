import type { Display } from "../../../protocols/segment-14/encode.js";
import type { Chance } from "../random.js";
import type { Meter } from "./meter.js";
import type { Wire } from "./wire.js";

/** Bytes on their way to the program, and when they arrive, seconds of the bench. */
export interface Arrival {
  readonly due_s: number;
  readonly bytes: Uint8Array;
}

/** How unevenly the operating system hands bytes over, seconds. */
const LATENCY_S = 0.004;
/** How unevenly the meter ticks, as a share of its interval. */
const TICK_SHARE = 0.002;

/** The cable of one meter: sends what the display shows, byte by byte at its rate, in pieces. */
export class MeterLine {
  #next_s: number;
  #waiting: Arrival[] = [];
  #last_s = 0;
  #whole = false;

  constructor(
    readonly meter: Meter,
    private readonly wire: Wire,
    private readonly interval_s: number,
    private readonly chance: Chance,
  ) {
    this.#next_s = chance.between(0.2, 1) * interval_s;
  }

  /** After each step of the bench; `now_s` is its end. */
  advance(dt_s: number, now_s: number): void {
    this.meter.take(dt_s);
    if (now_s < this.#next_s) return;
    this.#next_s += this.interval_s * (1 + TICK_SHARE * this.chance.normal());
    const display = this.meter.convert();
    if (display !== null) this.#send(display, now_s);
  }

  /** What has arrived by now, in order. */
  due(now_s: number): readonly Arrival[] {
    const ready = this.#waiting.findIndex((arrival) => arrival.due_s > now_s);
    return this.#waiting.splice(0, ready < 0 ? this.#waiting.length : ready);
  }

  #send(display: Display, now_s: number): void {
    let bytes = this.wire.encode(display);
    if (!this.#whole) {
      // Nobody opens a port at the start of a frame: the first one is cut.
      bytes = bytes.slice(Math.floor(this.chance.between(1, bytes.length)));
      this.#whole = true;
    }
    let from = 0;
    while (from < bytes.length) {
      const to = Math.min(bytes.length, from + Math.ceil(this.chance.between(0.3, 3) * PIECE));
      const due_s = now_s + to * this.wire.byte_s + this.chance.between(0, LATENCY_S);
      this.#last_s = Math.max(due_s, this.#last_s);
      this.#waiting.push({ due_s: this.#last_s, bytes: bytes.slice(from, to) });
      from = to;
    }
  }
}

/** Usual size of what a serial driver hands over at once, bytes. */
const PIECE = 8;
