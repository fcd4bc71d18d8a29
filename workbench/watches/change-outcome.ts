import type { TimedReading } from "../../protocols/reading.js";
import type { Detail, Outcome } from "../measurement/watch.js";
import type { Press, PressLog } from "./press-log.js";

/** How a change ended. */
export interface ChangeFound {
  readonly kind: "works" | "never-closed" | "never-opens";
  readonly reading: TimedReading;
  readonly start_s: number;
  readonly log: PressLog;
}

/** Slower than this a meter cannot show the bounce of a contact. */
const BOUNCE_SEEN_S = 0.005;

export function changeOutcome(found: ChangeFound): Outcome {
  const { kind, reading, start_s, log } = found;
  const presses = kind === "never-opens" && log.current ? [log.current] : log.presses;
  const rest = presses.findLast((press) => press.rest !== null)?.rest ?? null;
  const finding = findingOf(kind, presses);
  const worst = presses.at(-1)?.greatest ?? null;
  return {
    // Never closed: on ohms there is no value, on volts it is the zero that stood there.
    value: kind === "never-closed" ? reading.value : (rest?.mean ?? worst),
    unit: reading.unit,
    resolution: log.resolution ?? reading.resolution,
    overload: kind === "never-closed" ? reading.overload : false,
    polarity: "as-marked",
    zero: kind === "never-closed" ? "proved" : null,
    spread: rest?.spread ?? 0,
    samples: rest?.samples ?? 1,
    started_s: start_s,
    ended_s: reading.time_s,
    details: detailsOf(found, presses, rest?.mean ?? null),
    ...(finding === null ? {} : { finding }),
  };
}

function findingOf(kind: ChangeFound["kind"], presses: readonly Press[]): string | null {
  // What flickered before it was proved open was the probes coming off the step before.
  if (kind === "never-closed") return null;
  if (kind === "never-opens") return "it does not open when the trigger is released";
  const flickering = presses.filter((press) => press.interruptions > 0).length;
  if (flickering > 1) return "the contact comes and goes while the trigger is held";
  const restless = presses.length > 0 && presses.every((press) => press.rest === null);
  return restless ? "the closed contact never comes to rest" : null;
}

function detailsOf(
  { kind, reading, log }: ChangeFound,
  presses: readonly Press[],
  squeezed: number | null,
): Record<string, Detail> {
  const { unit } = reading;
  const open: Detail = {
    value: null,
    unit,
    note: reading.quantity === "voltage" ? "no voltage" : "open circuit",
  };
  const count = presses.reduce((sum, press) => sum + press.interruptions, 0);
  const longest_s = Math.max(0, ...presses.map((press) => press.longest_s));
  const tooSlow = `shorter than ${log.interval_s.toPrecision(2)} s cannot be seen with this meter`;
  return {
    squeezed: squeezed === null ? open : { value: squeezed, unit },
    released: kind === "never-opens" ? { value: squeezed, unit } : open,
    presses: { value: presses.length, unit: "" },
    interruptions:
      log.interval_s > BOUNCE_SEEN_S
        ? { value: count, unit: "", note: tooSlow }
        : { value: count, unit: "" },
    longestInterruption: { value: longest_s, unit: "s" },
  };
}
