import type { TimedReading } from "../../../protocols/reading.js";
import { scaled } from "../../../protocols/decimal.js";
import { BLOCK_READINGS, OVER, type ColumnBlock, type Face } from "./block.js";
import { encodeBlock } from "./codec.js";

/** Gathers readings into blocks of one face and gives each block out as bytes. */
export class ColumnWriter {
  readonly #out: (bytes: Uint8Array) => void;
  readonly #time_us = new Int32Array(BLOCK_READINGS);
  readonly #counts = new Int32Array(BLOCK_READINGS);
  readonly #floats = new Float64Array(BLOCK_READINGS);
  #start_us = 0;
  #count = 0;
  /** Of the open block. */
  #face: Face | null = null;
  #sample: TimedReading | null = null;
  #perCount = 0;
  /** Values beyond are no small number of counts. */
  #most = 0;

  constructor(out: (bytes: Uint8Array) => void) {
    this.#out = out;
  }

  add(reading: TimedReading): void {
    const time_us = Math.round(reading.time_s * 1e6);
    const since_us = time_us - this.#start_us;
    if (this.#needsNew(reading, since_us)) this.#begin(reading, time_us);
    const { value } = reading;
    const at = this.#count++;
    this.#time_us[at] = time_us - this.#start_us;
    if (value === null) this.#counts[at] = OVER;
    else if (this.#face?.exponent === null) this.#floats[(this.#counts[at] = at)] = value;
    else this.#counts[at] = Math.round(value * this.#perCount);
  }

  /** Gives out the block that is not full yet. */
  end(): void {
    if (this.#face === null || this.#count === 0) return;
    const block: ColumnBlock = {
      face: this.#face,
      start_us: this.#start_us,
      time_us: this.#time_us.subarray(0, this.#count),
      counts: this.#counts.subarray(0, this.#count),
      floats: this.#face.exponent === null ? this.#floats.subarray(0, this.#count) : null,
    };
    this.#out(encodeBlock(block));
    this.#face = null;
    this.#count = 0;
  }

  #needsNew(reading: TimedReading, since_us: number): boolean {
    const last = this.#sample;
    if (this.#face === null || last === null || this.#count === BLOCK_READINGS) return true;
    if (since_us < 0 || since_us > LONGEST_US) return true;
    // Meters send one face for minutes: the same objects, or the same few words.
    if (reading.quantity !== last.quantity || reading.resolution !== last.resolution) return true;
    if (reading.unit !== last.unit || reading.coupling !== last.coupling) return true;
    if (reading.flags !== last.flags && reading.flags.join() !== last.flags.join()) return true;
    return reading.value !== null && Math.abs(reading.value) > this.#most;
  }

  #begin(reading: TimedReading, time_us: number): void {
    this.end();
    const { quantity, coupling, unit, flags } = reading;
    const exponent = exponentOf(reading);
    this.#face = { quantity, coupling, unit, flags, exponent };
    this.#perCount = exponent === null ? 0 : 1 / scaled(1, exponent);
    this.#most = exponent === null ? Infinity : MOST_COUNTS * scaled(1, exponent);
    this.#sample = reading;
    this.#start_us = time_us;
  }
}

/** Half an hour: times inside a block stay far below 2^31. */
const LONGEST_US = 1_800_000_000;

const MOST_COUNTS = 2 ** 30;

/** The decade of one count; null where it is no decade or the value is no small number of them. */
function exponentOf({ resolution, value }: TimedReading): number | null {
  if (resolution === null || resolution <= 0) return null;
  const exponent = Math.round(Math.log10(resolution));
  const exact = scaled(1, exponent) === resolution;
  const small = value === null || Math.abs(value) < MOST_COUNTS * resolution;
  return exact && small ? exponent : null;
}
