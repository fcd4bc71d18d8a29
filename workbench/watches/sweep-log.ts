import type { TimedReading } from "../../protocols/reading.js";
import type { Detail, Outcome } from "../measurement/watch.js";

/** Of this many rests one may be too short for the meter: the worst of each is left out. */
const RESTS_A_SLIP = 6;

/**
 * What a sweep has seen. A turning motor is a generator, and its few millivolts are ohms to a
 * meter: only the rests between turns tell the resistance. A rest is a reading that is no greater
 * than its neighbours and not negative.
 */
export class SweepLog {
  /** Closed readings in order; NaN where it was open in between. */
  readonly #values: number[] = [];
  #finest = Number.POSITIVE_INFINITY;
  #openRun = 0;
  #openings = 0;

  push(reading: TimedReading, isOpen: boolean): void {
    if (isOpen) this.#pushOpen();
    else if (reading.value !== null) this.#pushValue(reading.value, reading.resolution ?? 0);
  }

  /** Openings since the last time it was asked. */
  takeOpenings(): number {
    const openings = this.#openings;
    this.#openings = 0;
    return openings;
  }

  /** The opening that is running turned out to be lifted probes. */
  forgetOpening(): void {
    if (this.#openRun > 1) this.#openings -= 1;
    this.#openRun = 0;
  }

  outcome(reading: TimedReading, started_s: number, isOpen: boolean): Outcome {
    const rests = this.#rests();
    const least = rests[0] ?? null;
    const greatest = rests.at(-1) ?? null;
    return {
      value: isOpen ? null : greatest,
      unit: reading.unit,
      // Zero where the wire does not tell the count: then nothing is known of it.
      resolution: Number.isFinite(this.#finest) ? this.#finest || null : reading.resolution,
      overload: isOpen,
      polarity: "as-marked",
      zero: null,
      spread: 0,
      samples: 1,
      started_s,
      ended_s: reading.time_s,
      details: detailsOf(reading.unit, least, isOpen ? null : greatest, rests.length),
      ...(isOpen && least !== null ? { finding: "open at some angles of the shaft" } : {}),
    };
  }

  #pushOpen(): void {
    this.#openRun += 1;
    // One reading of over range may be the meter changing its range.
    if (this.#openRun !== 2) return;
    this.#openings += 1;
    this.#values.push(Number.NaN);
  }

  #pushValue(value: number, count: number): void {
    this.#openRun = 0;
    // While the meter hunts for its range it shows coarse counts: they tell nothing.
    if (count > this.#finest * 1.01) return;
    if (count < this.#finest * 0.99) {
      this.#finest = count;
      this.#values.length = 0;
    }
    this.#values.push(value);
  }

  /** Resistance at the rests, least first. */
  #rests(): number[] {
    const values = this.#values;
    const rests = values.filter((value, at) => {
      const [before = value, after = value] = [values[at - 1], values[at + 1]];
      return value >= 0 && !(before < value) && !(after < value);
    });
    rests.sort((a, b) => a - b);
    return rests.slice(0, rests.length - Math.floor(rests.length / RESTS_A_SLIP));
  }
}

function detailsOf(
  unit: string,
  least: number | null,
  greatest: number | null,
  rests: number,
): Record<string, Detail> {
  const told = (value: number | null): Detail =>
    value === null ? { value, unit, note: "open circuit" } : { value, unit };
  return { least: told(least), greatest: told(greatest), rests: { value: rests, unit: "" } };
}
