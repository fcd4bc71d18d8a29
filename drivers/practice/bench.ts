import type { Clock } from "../clock.js";
import type { Link } from "../link.js";
import { BenchTop } from "./bench-top.js";
import type { Habits } from "./bench-top.js";
import type { Place } from "./hand/hand.js";
import type { HandRequest } from "./hand/request.js";
import { checkFaults, practiceKind } from "./kinds.js";
import { PracticeLink } from "./link.js";
import { checkRate, wireOf } from "./meter/wire.js";
import { AtOnce, RealTime } from "./pace.js";
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
  /** What a person sees or feels when a plan's `look` step asks; null where nobody knows. */
  answer(step: string): string | null;
  /** Faults that this kind of tool can have. */
  readonly faults: readonly Fault[];
  truth(): PracticeTruth;
  /** The clock of the pace: the injected one, or simulated time. */
  readonly clock: Clock;
}

const USUAL_RATE_Hz = 3.5;
const USUAL_HABITS: Habits = { reversed: 0.04, rubbing: 0.1 };

/** @throws LeadhandError of area usage for an unknown kind, fault or protocol, or an impossible rate. */
export function createPracticeBench(options: PracticeOptions): PracticeBench {
  const kind = practiceKind(options.kind);
  checkFaults(kind, options.faults);
  const wire = wireOf(options.protocol ?? "segment-14");
  const rate_Hz = options.rate_Hz ?? USUAL_RATE_Hz;
  checkRate(wire, rate_Hz);
  const top = new BenchTop(
    kind.build(new Set(options.faults), options.seed),
    options.seed,
    { ...USUAL_HABITS, ...options.habits },
    wire,
    1 / rate_Hz,
  );
  const pace =
    options.pace === "at-once"
      ? new AtOnce(top, options.idle ?? (() => Promise.resolve()))
      : new RealTime(top, options.clock);
  return {
    link: (channel = "a") => new PracticeLink(channel, pace),
    follow: (request) => top.hand.follow(request),
    answer: (step) => top.tool.answer(step),
    faults: kind.faults,
    truth: () => ({
      faults: kind.faults.filter((fault) => options.faults.includes(fault.id)),
      state: top.state,
      probes: top.hand.place,
      time_s: top.time_s,
      between: (red, black) => top.between(red, black),
    }),
    clock: pace.clock,
  };
}
