import type { Reading } from "./reading.js";

/** What a decoder has seen since its creation or last `reset`. */
export interface DecoderStats {
  /** Frames or lines that became readings. */
  readonly frames: number;
  /** Bytes that belonged to no frame. */
  readonly skippedBytes: number;
  /** Frames that were complete and implausible, by reason. */
  readonly rejected: Readonly<Record<string, number>>;
}

/**
 * Turns bytes into readings. Takes chunks of any size, survives any split and any garbage, and
 * never throws on input: what cannot be a frame is counted and skipped.
 */
export interface Decoder {
  /** `ends`, where given, takes for each reading how many of `bytes` were used when it was whole. */
  push(bytes: Uint8Array, ends?: number[]): readonly Reading[];
  readonly stats: DecoderStats;
  reset(): void;
}
