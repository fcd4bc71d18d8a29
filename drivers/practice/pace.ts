import type { Clock } from "../clock.js";
import type { BenchTop } from "./bench-top.js";
import type { Listening, PracticeLink } from "./link.js";
import type { Arrival } from "./meter/line.js";
import { SimulatedClock } from "../simulated-clock.js";

/** How often the bench is brought up to date in real time, milliseconds. */
const TICK_MS = 8;
/** After a longer gap than this the computer slept, and the bench with it, seconds. */
const SLEPT_S = 30;

interface Delivery {
  readonly link: PracticeLink;
  readonly arrival: Arrival;
}

/** Runs the bench while somebody listens; while nobody does, its time stands still. */
abstract class Pace implements Listening {
  abstract readonly clock: Clock;
  protected readonly open = new Set<PracticeLink>();

  constructor(protected readonly top: BenchTop) {}

  begin(link: PracticeLink): void {
    this.open.add(link);
    if (this.open.size === 1) this.start();
  }

  end(link: PracticeLink): void {
    this.open.delete(link);
  }

  protected abstract start(): void;

  /** What is due now for the links that are open, in order of time; the rest is lost, as real. */
  protected due(): Delivery[] {
    const found: Delivery[] = [];
    for (const channel of ["a", "b"] as const) {
      const arrivals = this.top.lines[channel].due(this.top.time_s);
      for (const link of this.open) {
        if (link.channel !== channel) continue;
        for (const arrival of arrivals) found.push({ link, arrival });
      }
    }
    return found.sort((one, other) => one.arrival.due_s - other.arrival.due_s);
  }

  /** The time of the clock that is zero on the bench. */
  protected origin_ns(): bigint {
    return this.clock.now_ns() - toNs(this.top.time_s);
  }
}

/** As a person at a bench: simulated time keeps up with the injected clock. */
export class RealTime extends Pace {
  #origin_ns = 0n;
  #cancel: () => void = () => undefined;

  constructor(
    top: BenchTop,
    readonly clock: Clock,
  ) {
    super(top);
  }

  protected start(): void {
    this.#cancel();
    this.#origin_ns = this.origin_ns();
    this.#tick();
  }

  #tick(): void {
    if (this.open.size === 0) return;
    const behind_s = this.#now_s() - this.top.time_s;
    if (behind_s > SLEPT_S) this.#origin_ns = this.origin_ns();
    const until_s = this.#now_s();
    while (this.top.time_s < until_s) {
      this.top.step();
      for (const delivery of this.due()) this.#deliver(delivery);
    }
    this.#cancel = this.clock.after(TICK_MS, () => this.#tick());
  }

  #deliver({ link, arrival }: Delivery): void {
    if (!this.open.has(link)) return;
    link.onChunk({ bytes: arrival.bytes, arrival_ns: this.clock.now_ns() });
  }

  #now_s(): number {
    return Number(this.clock.now_ns() - this.#origin_ns) / 1e9;
  }
}

/** As fast as the reader takes it, on a clock of its own that the bench advances. */
export class AtOnce extends Pace {
  readonly clock = new SimulatedClock();
  #running = false;

  constructor(
    top: BenchTop,
    /** Awaited after each chunk, for a reader that works on beyond its call. */
    private readonly idle: () => Promise<void>,
  ) {
    super(top);
  }

  protected start(): void {
    if (!this.#running) void this.#run();
  }

  async #run(): Promise<void> {
    this.#running = true;
    // All links that are opened together are there before time begins to move.
    await this.#pause();
    const origin_ns = this.origin_ns();
    while (this.open.size > 0) {
      this.top.step();
      for (const delivery of this.due()) await this.#deliver(delivery, origin_ns);
    }
    this.#running = false;
  }

  async #deliver({ link, arrival }: Delivery, origin_ns: bigint): Promise<void> {
    if (!this.open.has(link)) return;
    const arrival_ns = origin_ns + toNs(arrival.due_s);
    this.clock.advanceTo(arrival_ns);
    link.onChunk({ bytes: arrival.bytes, arrival_ns });
    await this.#pause();
  }

  async #pause(): Promise<void> {
    await new Promise<void>((resolve) => setImmediate(resolve));
    await this.idle();
  }
}

function toNs(time_s: number): bigint {
  return BigInt(Math.round(time_s * 1e9));
}
