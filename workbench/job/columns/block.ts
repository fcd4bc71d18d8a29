import type { Reading } from "../../../protocols/reading.js";

/** Everything about a reading but its time and value; a block holds readings of one face. */
export interface Face {
  readonly quantity: Reading["quantity"];
  readonly coupling: Reading["coupling"];
  readonly unit: Reading["unit"];
  readonly flags: Reading["flags"];
  /** Values are counts × 10^exponent; null: a float each (the wire told no resolution). */
  readonly exponent: number | null;
}

/** Readings of one face, in order of time, as columns. */
interface Block {
  readonly face: Face;
  /** Microseconds on the job's time base. */
  readonly start_us: number;
  /** Counts; `OVER` where the meter showed overload. With floats: indices into `floats`. */
  readonly counts: Int32Array;
  /** Values where the face has no exponent. */
  readonly floats: Float64Array | null;
}

/** As it is written. */
export interface ColumnBlock extends Block {
  /** Microseconds since `start_us`. */
  readonly time_us: Int32Array;
}

/** As it is read: a plot looks for a few times only, so that they are worked out one by one. */
export interface ReadBlock extends Block {
  /** Microseconds from `start_us` to reading `n`. */
  readonly timeAt_us: (n: number) => number;
}

/** Stands for overload in a column of counts. */
export const OVER = -0x8000_0000;

/** Readings of a block at the most: what is unpacked at once. */
export const BLOCK_READINGS = 1 << 16;
