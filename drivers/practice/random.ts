/** A seeded source of chance: same seed and name, same sequence, on every machine. */
export interface Chance {
  /** Evenly spread over [low, high). */
  between(low: number, high: number): number;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
  /** true with this probability. */
  happens(probability: number): boolean;
}

/**
 * Each user of chance takes a stream of its own by name, so that one more draw by the hand does
 * not change the noise of the meter. The generator is the 32-bit counter-and-mix scheme of
 * SplitMix (Steele, Lea, Flood 2014) cut to 32 bits; quality is ample for noise.
 */
export function chanceOf(seed: number, name: string): Chance {
  let state = mix(seed >>> 0, hash(name));
  const next = (): number => {
    state = (state + 0x9e3779b9) >>> 0;
    return mix(state, 0) / 0x1_0000_0000;
  };
  return {
    between: (low, high) => low + (high - low) * next(),
    // Box-Muller; 1 − u keeps the logarithm away from zero.
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    happens: (probability) => next() < probability,
  };
}

function mix(value: number, salt: number): number {
  let z = (value ^ salt) >>> 0;
  z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
  z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
  return (z ^ (z >>> 15)) >>> 0;
}

/** FNV-1a over the code units. */
function hash(name: string): number {
  let h = 0x811c9dc5;
  for (let n = 0; n < name.length; n += 1) h = Math.imul(h ^ name.charCodeAt(n), 0x01000193);
  return h >>> 0;
}
