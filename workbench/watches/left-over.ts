import type { TimedReading } from "../../protocols/reading.js";
import { countOf, touchOf } from "../measurement/contact.js";

/** A reading this near to the one left over is still the same one, in counts. */
const SAME_COUNTS = 10;

/** Probes that have not moved yet since the step before show that step's reading. */
export class LeftOver {
  #left: TimedReading | null;

  constructor(left: TimedReading | null) {
    this.#left = left;
  }

  /** True until a reading differs from the one left over, or the probes come off. */
  isStill(reading: TimedReading): boolean {
    const left = this.#left;
    if (left === null) return false;
    if (touchOf(reading) === "value" && isSame(left, reading)) return true;
    this.#left = null;
    return false;
  }
}

function isSame(left: TimedReading, reading: TimedReading): boolean {
  if (left.quantity !== reading.quantity || left.channel !== reading.channel) return false;
  if (left.value === null || reading.value === null) return false;
  const count = Math.max(countOf(left), countOf(reading));
  return Math.abs(left.value - reading.value) <= SAME_COUNTS * count;
}
