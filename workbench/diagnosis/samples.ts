/** Several samples of one touch, condensed. null is over range (open, on ohms). */
export interface Condensed {
  readonly value: number | null;
  /** null where there are too few samples to tell. */
  readonly unsteady: boolean | null;
}

/** A change between two samples that is no noise: volts absolute, ohms by ratio. */
const STEP = { volts: 0.5, share: 0.1, ohmFactor: 3, ohms: 1.5 };

/**
 * A contact that comes and goes moves up and down; a sag or a settling reading moves one way and
 * stays. The former is unsteady, the latter is worth its last value.
 */
export function condense(
  quantity: "voltage" | "resistance",
  samples: readonly (number | null)[],
): Condensed {
  const moves = samples.slice(1).map((now, i) => direction(quantity, samples[i] ?? null, now));
  const turned = moves.includes(1) && moves.includes(-1);
  if (turned) return { value: closed(quantity, samples), unsteady: true };
  const lastMove = moves.reduce<number>((at, move, i) => (move === 0 ? at : i + 1), 0);
  const settled = samples.slice(lastMove);
  return { value: median(settled), unsteady: samples.length < 3 ? null : false };
}

/** +1 up, −1 down, 0 no move worth the name. */
function direction(
  quantity: "voltage" | "resistance",
  before: number | null,
  now: number | null,
): -1 | 0 | 1 {
  if (before === null || now === null) {
    if (before === now) return 0;
    return now === null ? 1 : -1;
  }
  const [low, high] = before < now ? [before, now] : [now, before];
  const moved =
    quantity === "voltage"
      ? high - low > Math.max(STEP.volts, STEP.share * Math.max(Math.abs(low), Math.abs(high)))
      : high > STEP.ohmFactor * low + STEP.ohms;
  if (!moved) return 0;
  return now > before ? 1 : -1;
}

/** What it shows while there is contact: the least resistance, the greatest voltage. */
function closed(
  quantity: "voltage" | "resistance",
  samples: readonly (number | null)[],
): number | null {
  const numbers = samples.filter((sample) => sample !== null);
  if (numbers.length === 0) return null;
  return quantity === "voltage" ? Math.max(...numbers) : Math.min(...numbers);
}

function median(samples: readonly (number | null)[]): number | null {
  const numbers = samples.filter((sample) => sample !== null).sort((a, b) => a - b);
  if (numbers.length * 2 <= samples.length) return null;
  return numbers[Math.floor((numbers.length - 1) / 2)] ?? null;
}
