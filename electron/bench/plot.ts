import type { TimedReading } from "../../protocols/reading.js";
import type { BenchEvent } from "../../workbench/contract/events.js";

type TraceEvent = Extract<BenchEvent, { type: "trace" }>;

/** How much of the past the live plot shows, and into how many buckets at the most. */
const SPAN_S = 30;
const BUCKET_S = SPAN_S / 600;

interface Bucket {
  time_s: number;
  low: number | null;
  high: number | null;
}

/**
 * Thins readings for the live plot to their least and greatest per bucket, so that a 1 kHz meter
 * costs the window no more than its pixels and no peak is lost. Slow meters keep every reading.
 */
export class LivePlot {
  readonly #done: Bucket[] = [];
  #open: Bucket | null = null;
  #unit = "";

  constructor(readonly channel: string) {}

  /**
   * The points to send now, or null. A point is sent when its bucket opens and again, with the same
   * time, when it closes wider than it opened: a slow meter is drawn without delay.
   */
  push(reading: TimedReading): TraceEvent | null {
    const changed = reading.unit !== this.#unit;
    if (changed) this.#restart(reading);
    const last = this.#open;
    if (last && reading.time_s - last.time_s < BUCKET_S) {
      widen(last, reading.value);
      return null;
    }
    const next = { time_s: reading.time_s, low: reading.value, high: reading.value };
    this.#open = next;
    this.#trim(reading.time_s);
    if (last) this.#done.push(last);
    if (changed) return this.whole();
    return event(this.channel, last && last.low !== last.high ? [last, next] : [next], false);
  }

  /** Everything that the plot shows, for a window that has just connected. */
  whole(): TraceEvent {
    const all = this.#open ? [...this.#done, this.#open] : this.#done;
    return event(this.channel, all, true);
  }

  #restart(reading: TimedReading): void {
    this.#unit = reading.unit;
    this.#done.length = 0;
    this.#open = null;
  }

  #trim(now_s: number): void {
    const keep = this.#done.findIndex((bucket) => bucket.time_s >= now_s - SPAN_S);
    if (keep > 0) this.#done.splice(0, keep);
  }
}

function widen(bucket: Bucket, value: number | null): void {
  if (value === null) return;
  bucket.low = bucket.low === null ? value : Math.min(bucket.low, value);
  bucket.high = bucket.high === null ? value : Math.max(bucket.high, value);
}

function event(channel: string, buckets: readonly Bucket[], fresh: boolean): TraceEvent {
  return {
    type: "trace",
    channel,
    fresh,
    time_s: buckets.map((bucket) => bucket.time_s),
    low: buckets.map((bucket) => bucket.low),
    high: buckets.map((bucket) => bucket.high),
  };
}
