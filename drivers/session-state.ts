import type { ErrorCode } from "../protocols/error.js";
import type { TimedReading } from "../protocols/reading.js";

export const METER_STATES = [
  /** The port or radio address is not there. */
  "absent",
  "opening",
  /** Open, and no byte yet. */
  "silent",
  /** Bytes come, but no valid frame: wrong baud rate, framing or protocol. */
  "unreadable",
  /** A valid frame was decoded, and the next is not overdue. */
  "live",
  /** Was live; the next reading is overdue. */
  "stale",
  /** Was open and is gone; the session is trying again. */
  "lost",
  /** The operating system does not let us. */
  "denied",
  /** Another program has it. */
  "busy",
  /** Ended by us, or a recording that ran out. */
  "closed",
] as const;
export type MeterState = (typeof METER_STATES)[number];

/** What happened and what a person can do about it. */
export interface Advice {
  readonly code: ErrorCode;
  readonly what: string;
  readonly action: string;
}

export type SessionEvent =
  | {
      readonly kind: "state";
      readonly channel: string;
      readonly state: MeterState;
      readonly time_s: number;
      readonly advice: Advice | null;
    }
  | {
      readonly kind: "reading";
      readonly reading: TimedReading;
      /** Raw bytes of this session up to and with the last one that the reading comes of. */
      readonly end: number;
    }
  /** Identification strings, instrument errors, what a dialogue wants known. */
  | {
      readonly kind: "note";
      readonly channel: string;
      readonly time_s: number;
      readonly text: string;
    };
