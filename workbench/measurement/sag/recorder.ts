import type { TimedReading } from "../../../protocols/reading.js";
import type { SagTrace } from "./trace.js";

/** Seconds of unloaded readings that are kept while waiting for the squeeze. */
const KEPT_BEFORE_S = 4;

/** Collects a sag from one voltmeter and, where there is one, an ammeter. */
export class SagRecorder {
  #voltage: Sample[] = [];
  #current: Sample[] = [];
  #resolution: number | null = null;

  voltage({ time_s, value, resolution }: TimedReading): void {
    this.#voltage.push({ time_s, value: value ?? 0 });
    if (resolution !== null) this.#resolution = Math.max(this.#resolution ?? 0, resolution);
  }

  current({ time_s, value }: TimedReading): void {
    if (value !== null) this.#current.push({ time_s, value });
  }

  /** Drops what is too old to serve as baseline; cheap to call with each reading. */
  forget(now_s: number): void {
    const old = (this.#voltage[0]?.time_s ?? now_s) < now_s - 2 * KEPT_BEFORE_S;
    if (!old) return;
    const recent = ({ time_s }: Sample): boolean => time_s >= now_s - KEPT_BEFORE_S;
    this.#voltage = this.#voltage.filter(recent);
    this.#current = this.#current.filter(recent);
  }

  /** Drops what came before: the probes were still finding their points. */
  since(start_s: number): void {
    const later = ({ time_s }: Sample): boolean => time_s >= start_s;
    this.#voltage = this.#voltage.filter(later);
    this.#current = this.#current.filter(later);
  }

  /** Takes back the newest voltage: the probes were lifted. */
  dropLast(): void {
    this.#voltage.pop();
  }

  clear(): void {
    this.#voltage = [];
    this.#current = [];
  }

  get readings(): number {
    return this.#voltage.length;
  }

  trace(): SagTrace {
    const time_s = this.#voltage.map((sample) => sample.time_s);
    return {
      time_s,
      voltage_V: this.#voltage.map(({ value }) => value),
      current_A: this.#current.length >= 4 ? interpolate(this.#current, time_s) : undefined,
      resolution_V: this.#resolution ?? undefined,
    };
  }
}

interface Sample {
  readonly time_s: number;
  readonly value: number;
}

/** The samples at other times, straight between neighbours and level beyond the ends. */
function interpolate(samples: readonly Sample[], times: readonly number[]): number[] {
  let k = 0;
  return times.map((time) => {
    while (k < samples.length - 2 && (samples[k + 1] as Sample).time_s <= time) k++;
    const [a, b] = [samples[k] as Sample, samples[k + 1] as Sample];
    const share = b.time_s > a.time_s ? (time - a.time_s) / (b.time_s - a.time_s) : 0;
    return a.value + Math.min(1, Math.max(0, share)) * (b.value - a.value);
  });
}
