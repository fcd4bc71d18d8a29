import type { TimedReading } from "../../protocols/reading.js";
import type { ContactTracker } from "../measurement/contact.js";
import type { Rest } from "../measurement/steady.js";

/** One time that the contact closed and opened again. */
export interface Press {
  /** What it showed closed and at rest; null where it never came to rest. */
  readonly rest: Rest | null;
  readonly least: number;
  readonly greatest: number;
  /** How often it opened in between, and the longest of these, seconds. */
  readonly interruptions: number;
  readonly longest_s: number;
}

/** An opening shorter than the window belongs to the press: bounce, or a contact that is going. */
interface Running {
  rest: Rest | null;
  least: number;
  greatest: number;
  interruptions: number;
  longest_s: number;
  from_s: number;
}

/** A contact bounces for some milliseconds when it closes: only what opens later is a finding. */
const BOUNCE_S = 0.1;

/** Cuts a stream into presses: closed for a while, then open for at least the window. */
export class PressLog {
  readonly presses: Press[] = [];
  /** Least time between readings, seconds: what is shorter cannot be seen. */
  interval_s = Number.POSITIVE_INFINITY;
  resolution: number | null = null;
  #running: Running | null = null;
  #openSince_s: number | null = null;
  #last_s: number | null = null;

  constructor(private readonly window_s: number) {}

  /** A contact was closed at least once. */
  get hasPresses(): boolean {
    return this.presses.length > 0;
  }

  /** It closed at least once and came to rest closed: what only flickered may have been a slip. */
  get hasRested(): boolean {
    return this.presses.some(({ rest }) => rest !== null);
  }

  /** The press that is running has shown its value: it may end. */
  get mayEnd(): boolean {
    return this.#running?.rest != null;
  }

  get isRunning(): boolean {
    return this.#running !== null;
  }

  /** The press that is still running, as it stands. */
  get current(): Press | null {
    return this.#running;
  }

  get interruptions(): number {
    return this.presses.filter((press) => press.interruptions > 0).length;
  }

  push(reading: TimedReading, contact: ContactTracker): void {
    const { time_s } = reading;
    if (this.#last_s !== null) this.interval_s = Math.min(this.interval_s, time_s - this.#last_s);
    this.#last_s = time_s;
    if (contact.touch === "value" && reading.value !== null)
      this.#closed(time_s, reading.value, reading.resolution, contact.rest);
    else this.#open(time_s);
  }

  #closed(time_s: number, value: number, resolution: number | null, rest: Rest | null): void {
    this.#running ??= {
      rest: null,
      least: value,
      greatest: value,
      interruptions: 0,
      longest_s: 0,
      from_s: time_s,
    };
    const press = this.#running;
    // Once it may end, the finger is on its way: what opens then is no finding.
    const wasOpen_s = press.rest === null ? this.#openSince_s : null;
    if (wasOpen_s !== null && wasOpen_s - press.from_s > BOUNCE_S) {
      press.interruptions += 1;
      press.longest_s = Math.max(press.longest_s, time_s - wasOpen_s);
    }
    this.#openSince_s = null;
    if (rest === null) return;
    press.rest = rest;
    this.resolution = resolution;
    press.least = Math.min(press.least, rest.mean);
    press.greatest = Math.max(press.greatest, rest.mean);
  }

  #open(time_s: number): void {
    if (this.#running === null) return;
    this.#openSince_s ??= time_s;
    if (time_s - this.#openSince_s < this.window_s) return;
    const press = this.#running;
    this.#running = null;
    const closed_s = this.#openSince_s - press.from_s;
    this.#openSince_s = null;
    // Shorter than the window and never at rest: a slip of the probe, not a press.
    if (press.rest !== null || closed_s >= this.window_s) this.presses.push(press);
  }
}
