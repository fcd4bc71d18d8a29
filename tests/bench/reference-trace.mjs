/**
 * The reference trace of the benchmarks: 18.0 V that sags to 15.6 V for two of every ten seconds,
 * 1 kHz, counts of 0.1 mV with two counts of noise, 1 ms of arrival jitter at microsecond ticks.
 */
export function* referenceTrace(count) {
  const random = chance(1);
  const flags = [];
  let level = 180_000;
  for (let n = 0; n < count; n++) {
    const squeezed = n % 10_000 >= 4000 && n % 10_000 < 6000;
    level += ((squeezed ? 156_000 : 180_000) - level) * 0.05;
    const counts = Math.round(level) + random(3) + random(3) - 2;
    yield {
      channel: "a",
      quantity: "voltage",
      coupling: "dc",
      unit: "V",
      time_s: (n * 1000 + random(1000)) / 1e6,
      value: counts / 1e4,
      overload: false,
      resolution: 0.0001,
      flags,
    };
  }
}

/** Numbers that look like chance and are the same each time (Marsaglia's xorshift32). */
function chance(seed) {
  let state = seed;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state % below;
  };
}
