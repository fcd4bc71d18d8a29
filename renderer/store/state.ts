import type { BenchEvent, ErrorReport } from "../../workbench/contract/events.js";
import type {
  MeterStatus,
  FreeStatus,
  Order,
  PowerPath,
  RecordedResult,
  RunStatus,
} from "../../workbench/contract/events.js";
import type { LinkState } from "../client/bench-client.js";

type EventOf<T extends BenchEvent["type"]> = Extract<BenchEvent, { type: T }>;
export type Reading = EventOf<"reading">["reading"];
export type Contact = EventOf<"contact">["contact"];
export type Band = NonNullable<EventOf<"contact">["band"]>;
export type Limits = NonNullable<EventOf<"begin">["limits"]>;
export type Caution = EventOf<"begin">["cautions"][number];
export type Finish = EventOf<"finished">;

export interface ReadingNow {
  readonly reading: Reading;
  readonly digits: string;
  readonly prefix: string;
  /** When it reached the window, on the window's own monotonic clock. */
  readonly arrived_ms: number;
}

/** Columns of the live plot; null is a gap. */
export interface Trace {
  readonly time_s: readonly number[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
}

export interface StepNow {
  readonly id: string;
  readonly index: number;
  readonly time_s: number;
  readonly instruction: string;
  readonly cautions: readonly Caution[];
  /** Why it is this step's turn; null in the plan's own order. */
  readonly why: EventOf<"begin">["why"];
  readonly limits: Limits | null;
  readonly unit: string;
  readonly contact: Contact;
  readonly band: Band | null;
  readonly prompt: { readonly kind: string; readonly words: string } | null;
  /** Nothing has been said of the probes since the step began. */
  readonly fresh: boolean;
}

export interface Recorded {
  readonly result: RecordedResult;
  readonly title: string;
  /** The verdict as it is said aloud. */
  readonly words: string;
}

/** The newest recorded step, large until the probes touch again. */
export interface LastResult extends Recorded {
  /** The probes have left the points of that step. */
  readonly lifted: boolean;
}

export interface LinkNow {
  readonly state: LinkState;
  readonly since_ms: number;
}

export interface BenchState {
  readonly link: LinkNow;
  /** Calls that have a handler; null until the bench has said so. */
  readonly calls: readonly string[] | null;
  readonly version: string | null;
  /** The job's time and the window's, taken together. */
  readonly clock: { readonly time_s: number; readonly at_ms: number } | null;
  /** When anything last came from the bench. */
  readonly heard_ms: number;
  readonly meters: Readonly<Record<string, MeterStatus>>;
  readonly readings: Readonly<Record<string, ReadingNow>>;
  readonly traces: Readonly<Record<string, Trace>>;
  readonly run: RunStatus | null;
  /** In which order the run goes on. */
  readonly order: Order;
  readonly step: StepNow | null;
  readonly ledger: readonly Recorded[];
  readonly last: LastResult | null;
  readonly path: PowerPath | null;
  /** Free probing beside the plan; null before anybody began it. */
  readonly free: FreeStatus | null;
  /** What is off the tool of this run's job; null before the bench has said so. */
  readonly apart: Pick<EventOf<"apart">, "job" | "apart"> | null;
  readonly finish: Finish | null;
  /** How the run came to its end; null while it runs. */
  readonly ended: EventOf<"ended">["how"] | null;
  readonly troubles: readonly ErrorReport[];
  /** The person has left a run that is over; the next run leads back to the bench. */
  readonly atDesk: boolean;
}

export function emptyState(now_ms: number): BenchState {
  return {
    link: { state: "connecting", since_ms: now_ms },
    calls: null,
    version: null,
    clock: null,
    heard_ms: now_ms,
    meters: {},
    readings: {},
    traces: {},
    run: null,
    order: "fixed",
    step: null,
    ledger: [],
    last: null,
    path: null,
    free: null,
    apart: null,
    finish: null,
    ended: null,
    troubles: [],
    atDesk: false,
  };
}

/** Whether a run has the window; otherwise it shows the desk. */
export function isAtBench({ run, atDesk }: BenchState): boolean {
  return run !== null && !atDesk;
}
