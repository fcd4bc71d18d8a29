import type { TimedReading } from "../../../protocols/reading.js";
import type { Outcome, Prompt, Watch } from "../../../workbench/measurement/watch.js";

/** A reading of a hand-held meter on DC volts, 6,000 counts, 60 V range. */
export const volts = (time_s: number, value: number, more: Partial<TimedReading> = {}) =>
  ({
    time_s,
    channel: "a",
    quantity: "voltage",
    coupling: "dc",
    value: Math.round(value * 100) / 100,
    overload: false,
    unit: "V",
    resolution: 0.01,
    flags: ["auto"],
    ...more,
  }) satisfies TimedReading;

/** Ohms on the 600 Ω range of the same meter; null is overload. */
export const ohms = (time_s: number, value: number | null, more: Partial<TimedReading> = {}) =>
  ({
    time_s,
    channel: "a",
    quantity: "resistance",
    coupling: null,
    value: value === null ? null : Math.round(value * 10) / 10,
    overload: value === null,
    unit: "Ω",
    resolution: 0.1,
    flags: ["auto"],
    ...more,
  }) satisfies TimedReading;

/** A stretch of readings, `rate` a second, from a signal of time. */
export function stretch(
  from_s: number,
  to_s: number,
  rate: number,
  make: (time_s: number) => TimedReading,
): TimedReading[] {
  const n = Math.round((to_s - from_s) * rate);
  return Array.from({ length: n }, (_, i) => make(from_s + i / rate));
}

export interface Watched {
  readonly outcome: Outcome | null;
  /** Every prompt that was not the one before, in order. */
  readonly prompts: Prompt[];
  readonly contacts: string[];
}

/** Feeds a watch until its outcome or the end of the readings. */
export function watchAll(watch: Watch, readings: readonly TimedReading[]): Watched {
  const prompts: Prompt[] = [];
  const contacts: string[] = [];
  let last = "null";
  for (const reading of readings) {
    const { outcome, prompt, contact } = watch.push(reading);
    if (contact !== contacts.at(-1)) contacts.push(contact);
    if (prompt !== null && JSON.stringify(prompt) !== last) prompts.push(prompt);
    last = JSON.stringify(prompt);
    if (outcome !== null) return { outcome, prompts, contacts };
  }
  return { outcome: null, prompts, contacts };
}
