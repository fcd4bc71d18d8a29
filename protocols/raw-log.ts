/**
 * One chunk of bytes as it came off a link. The raw log is a sequence of these. A chunk of no
 * bytes marks that a link was opened at that time: a reader forgets half a frame there, and an
 * asking protocol starts anew, so that a replay decodes what the session decoded.
 *
 * Bytes of one arrival time are one chunk, also where they are handed over or kept in pieces
 * (raw-log/whole-chunks.ts): what a recording says does not depend on how it was cut.
 */
export interface Chunk {
  readonly bytes: Uint8Array;
  /** Monotonic time of arrival in nanoseconds, taken at the earliest point. */
  readonly arrival_ns: bigint;
}

/** Where chunks go before anything looks at them: the evidence; all else can be derived. */
export interface RawSink {
  /** Keeps the chunk; throws a `LeadhandError` of area `job` where it cannot. */
  append(channel: string, chunk: Chunk): void;
}
