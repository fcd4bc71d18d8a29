import type { TimedReading } from "../../protocols/reading.js";
import type { YesTouch } from "./run-event.js";

/** What a reading alone says about the probes: plainly on something, plainly on nothing. */
export type Touch = "signal" | "nothing" | "unclear";

/** Above what open leads pick up on a 10 MΩ input, below any source worth probing. From practice. */
const SIGNAL_V = 1;
const NOTHING_V = 0.3;
/** Fingers across dry probes stay above it; contacts, windings and tips held together below it. */
const SIGNAL_OHM = 100_000;
/** More than the forward voltage of a silicon junction, less than what a meter's test goes up to. */
const JUNCTION_V = 1.2;
/** A run of signal this long, this steady, is a touch and not a ghost or a slip. */
export const TOUCH_S = 0.3;
const STEADY_SHARE = 0.03;
const STEADY_COUNTS = 5;

export function touchOf(reading: TimedReading): Touch {
  switch (reading.quantity) {
    case "voltage":
      return touchOfVolts(reading);
    case "diode":
      // Above it no single junction: the display on its way to over range, the tips apart again.
      if (reading.overload !== false || (reading.value ?? 0) > JUNCTION_V) return "nothing";
      return reading.value !== null ? "signal" : "unclear";
    case "resistance":
    case "continuity":
      if (reading.overload !== false) return "nothing";
      return reading.value !== null && reading.value < SIGNAL_OHM ? "signal" : "unclear";
    default:
      return "unclear";
  }
}

export function touchOfVolts(reading: TimedReading): Touch {
  if (reading.overload !== false || reading.value === null) return "unclear";
  const size = Math.abs(reading.value);
  return size >= SIGNAL_V ? "signal" : size < NOTHING_V ? "nothing" : "unclear";
}

/** True when two readings show the same thing, within a few counts or a few hundredths. */
export function alike(a: TimedReading, b: TimedReading): boolean {
  if (a.quantity !== b.quantity || a.value === null || b.value === null) return false;
  const margin = Math.max(
    STEADY_COUNTS * (a.resolution ?? 0),
    STEADY_SHARE * Math.max(Math.abs(a.value), Math.abs(b.value)),
  );
  return Math.abs(a.value - b.value) <= margin;
}

/** The touch that says yes on this dial position. No source is ever shown to an ohms input. */
export function yesTouch(reading: TimedReading): YesTouch {
  const ohms = ["resistance", "continuity", "diode"].includes(reading.quantity);
  return ohms ? "together" : "known-source";
}

/** What changed with one reading. */
export interface Gesture {
  /** A touch has become plain with this reading; `since_s` is when it began. */
  readonly touched: { readonly since_s: number; readonly reading: TimedReading } | null;
  /** The probes have left with this reading. */
  readonly lifted: boolean;
  /** The meter's HOLD sign has come on. */
  readonly held: boolean;
}

const NONE: Gesture = { touched: null, lifted: false, held: false };

/**
 * Follows touches, lifts and the HOLD key in one channel's stream. Coarser than a step's watch, and
 * on purpose: a gesture must be plain on any dial position, not precise.
 */
export class Gestures {
  private run: TimedReading[] = [];
  private on: boolean | null = null;
  /** Whether the stream began on something: a touch that nobody saw begin answers nothing. */
  private began: Touch | null = null;
  private hold: boolean | null = null;

  /** Whether the probes are plainly on something; null before anything was plain. */
  get touching(): boolean | null {
    return this.on;
  }

  push(reading: TimedReading): Gesture {
    const hold = reading.flags.includes("hold");
    const held = hold && this.hold === false;
    this.hold = hold;
    if (hold) return { ...NONE, held };
    const touch = touchOf(reading);
    this.began ??= touch;
    switch (touch) {
      case "signal":
        return this.signal(reading);
      case "nothing":
        return this.nothing();
      case "unclear":
        this.run = [];
        return NONE;
    }
  }

  private signal(reading: TimedReading): Gesture {
    const [first] = this.run;
    if (first && !alike(first, reading)) this.run = [];
    this.run.push(reading);
    const since_s = (this.run[0] ?? reading).time_s;
    const plain = this.run.length >= 2 && reading.time_s - since_s >= TOUCH_S;
    if (!plain || this.on === true) return NONE;
    const unseen = this.on === null && this.began === "signal";
    this.on = true;
    return unseen ? NONE : { ...NONE, touched: { since_s, reading } };
  }

  private nothing(): Gesture {
    this.run = [];
    const lifted = this.on === true;
    this.on = false;
    return lifted ? { ...NONE, lifted } : NONE;
  }
}
