import type { Clock } from "../clock.js";
import type { Link } from "../link.js";
import { BenchTop } from "./bench-top.js";
import type { Habits } from "./bench-top.js";
import type { Place } from "./hand/hand.js";
import type { HandRequest } from "./hand/request.js";
import { checkFaults, practiceKind } from "./kinds.js";
import { PracticeLink } from "./link.js";
import type { Arrival } from "./meter/line.js";
import { wireOf } from "./meter/wire.js";
import { SimulatedClock } from "./simulated-clock.js";
import type { Fault, ToolState } from "./tools/tool.js";

export type { HandRequest } from "./hand/request.js";

export interface PracticeOptions {
  readonly kind: string;
  /** Ids of the faults to hide; none for a healthy tool. */
  readonly faults: readonly string[];
  /** Same seed and same requests, same bytes. */
  readonly seed: number;
  /** `real-time`: as a person at a bench; `at-once`: as fast as the reader takes it. */
  readonly pace: "real-time" | "at-once";
  readonly clock: Clock;
  /** What the meter speaks; "segment-14" where nothing is said. */
  readonly protocol?: string;
  /** Readings a second; 3.5 where nothing is said. */
  readonly rate_Hz?: number;
  readonly habits?: Partial<Habits>;
  /** At-once only: awaited after each chunk, for a reader that works on beyond its call. */
  readonly idle?: () => Promise<void>;
}

export interface PracticeTruth {
  readonly faults: readonly Fault[];
  readonly state: ToolState;
  readonly probes: Place;
  /** Simulated time, seconds. */
  readonly time_s: number;
  /** True voltage between two points now, volts. */
  between(red: string, black: string): number;
}

export interface PracticeBench {
  /** A new connection to the meter (a) or to the clamp round the lead of the pack (b). */
  link(channel?: "a" | "b"): Link;
  /** What the hand shall do next; at once, without waiting for the last request to be done. */
  follow(request: HandRequest): void;
  /** Faults that this kind of tool can have. */
  readonly faults: readonly Fault[];
  truth(): PracticeTruth;
  /** The clock of the pace: the injected one, or simulated time. */
  readonly clock: Clock;
}

const USUAL_RATE_Hz = 3.5;
const USUAL_HABITS: Habits = { reversed: 0.04, rubbing: 0.1 };
/** How often the bench is brought up to date in real time, milliseconds. */
const TICK_MS = 8;

/** @throws LeadhandError of area usage for an unknown kind, fault or protocol. */
export function createPracticeBench(options: PracticeOptions): PracticeBench {
  const kind = practiceKind(options.kind);
  checkFaults(kind, options.faults);
  const top = new BenchTop(
    kind.build(new Set(options.faults), options.seed),
    options.seed,
    { ...USUAL_HABITS, ...options.habits },
    wireOf(options.protocol ?? "segment-14"),
    1 / (options.rate_Hz ?? USUAL_RATE_Hz),
  );
  const runner = options.pace === "at-once" ? new AtOnce(top, options) : new RealTime(top, options);
  return {
    link: (channel = "a") => new PracticeLink(channel, runner),
    follow: (request) => top.hand.follow(request),
    faults: kind.faults,
    truth: () => ({
      faults: kind.faults.filter((fault) => options.faults.includes(fault.id)),
      state: top.state,
      probes: top.hand.place,
      time_s: top.time_s,
      between: (red, black) => top.between(red, black),
    }),
    clock: runner.clock,
  };
}

/** Runs the bench while somebody listens. */
abstract class Runner {
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
  protected due(): { link: PracticeLink; arrival: Arrival }[] {
    const found: { link: PracticeLink; arrival: Arrival }[] = [];
    for (const channel of ["a", "b"] as const) {
      const arrivals = this.top.lines[channel].due(this.top.time_s);
      for (const link of this.open) {
        if (link.channel !== channel) continue;
        for (const arrival of arrivals) found.push({ link, arrival });
      }
    }
    return found.sort((one, other) => one.arrival.due_s - other.arrival.due_s);
  }
}

class RealTime extends Runner {
  readonly clock: Clock;
  #origin_ns = 0n;

  constructor(top: BenchTop, options: PracticeOptions) {
    super(top);
    this.clock = options.clock;
  }

  protected start(): void {
    this.#origin_ns = this.clock.now_ns() - BigInt(Math.round(this.top.time_s * 1e9));
    this.#tick();
  }

  #tick(): void {
    if (this.open.size === 0) return;
    const now_s = Number(this.clock.now_ns() - this.#origin_ns) / 1e9;
    while (this.top.time_s < now_s) {
      this.top.step();
      for (const { link, arrival } of this.due()) {
        if (this.open.has(link)) {
          link.onChunk({ bytes: arrival.bytes, arrival_ns: this.clock.now_ns() });
        }
      }
    }
    this.clock.after(TICK_MS, () => this.#tick());
  }
}

class AtOnce extends Runner {
  readonly clock = new SimulatedClock();

  constructor(
    top: BenchTop,
    private readonly options: PracticeOptions,
  ) {
    super(top);
  }

  protected start(): void {
    void this.#run();
  }

  async #run(): Promise<void> {
    await this.#pause();
    while (this.open.size > 0) {
      this.top.step();
      for (const { link, arrival } of this.due()) {
        if (!this.open.has(link)) continue;
        const arrival_ns = BigInt(Math.round(arrival.due_s * 1e9));
        this.clock.advanceTo(arrival_ns);
        link.onChunk({ bytes: arrival.bytes, arrival_ns });
        await this.#pause();
      }
    }
  }

  async #pause(): Promise<void> {
    await new Promise<void>((resolve) => setImmediate(resolve));
    await this.options.idle?.();
  }
}
