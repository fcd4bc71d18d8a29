/** Time, injected. `now_ns` never runs backwards. */
export interface Clock {
  now_ns(): bigint;
  /** Calls `fn` once after `delay_ms`; the returned function cancels it. */
  after(delay_ms: number, fn: () => void): () => void;
}

export const systemClock: Clock = {
  now_ns: () => process.hrtime.bigint(),
  after(delay_ms, fn) {
    const timer = setTimeout(fn, delay_ms);
    return () => {
      clearTimeout(timer);
    };
  },
};
