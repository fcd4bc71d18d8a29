/** Voltages of one cell at rest, volts. Common practice where no source is named. */
interface Chemistry {
  readonly name: string;
  readonly nominal_V: number;
  /** Empty and full at rest. */
  readonly empty_V: number;
  readonly full_V: number;
  /** Cells in series that packs of hand tools have. */
  readonly usualCounts: readonly number[];
}

const CHEMISTRIES: readonly Chemistry[] = [
  // Full 4.2 V: below the 4.25 V upper limit charging voltage of IEC 62133-2 (from memory).
  {
    name: "lithium-ion",
    nominal_V: 3.6,
    empty_V: 3.0,
    full_V: 4.2,
    usualCounts: [1, 2, 3, 4, 5, 6, 10, 14, 15, 20],
  },
  {
    name: "lithium iron phosphate",
    nominal_V: 3.2,
    empty_V: 2.8,
    full_V: 3.45,
    usualCounts: [4, 5, 6, 8, 12, 16],
  },
  // 1.2 V nominal, 1.0 V end of discharge: IEC 61951 (from memory).
  {
    name: "nickel",
    nominal_V: 1.2,
    empty_V: 1.1,
    full_V: 1.42,
    usualCounts: [2, 3, 4, 6, 8, 10, 12, 15, 20],
  },
];

export interface PackGuess {
  readonly chemistry: string;
  readonly cells: number;
  readonly perCell_V: number;
  readonly nominal_V: number;
  /** Share of belief among all guesses, 0 to 1. */
  readonly likelihood: number;
}

/**
 * Which packs an open-circuit voltage fits, likeliest first: a guess and no more. A cell voltage
 * near the middle of its chemistry's span counts most; common numbers of cells count more than
 * others (common practice, no source). `marked_V` is the voltage printed on the pack.
 */
export function guessPack(openCircuit_V: number, marked_V: number | null = null): PackGuess[] {
  const raw = CHEMISTRIES.flatMap((chemistry) =>
    chemistry.usualCounts.map((cells) => weigh(chemistry, cells, openCircuit_V, marked_V)),
  ).filter(({ weight }) => weight > 0);
  const total = raw.reduce((sum, { weight }) => sum + weight, 0);
  return raw
    .map(({ weight, guess }) => ({ ...guess, likelihood: weight / total }))
    .sort((a, b) => b.likelihood - a.likelihood);
}

function weigh(
  chemistry: Chemistry,
  cells: number,
  openCircuit_V: number,
  marked_V: number | null,
): { weight: number; guess: Omit<PackGuess, "likelihood"> } {
  const perCell_V = openCircuit_V / cells;
  const nominal_V = cells * chemistry.nominal_V;
  const guess = { chemistry: chemistry.name, cells, perCell_V, nominal_V };
  const inside = perCell_V >= chemistry.empty_V && perCell_V <= chemistry.full_V * 1.01;
  const share = (perCell_V - chemistry.empty_V) / (chemistry.full_V - chemistry.empty_V);
  const shape = inside ? 0.3 + 0.7 * Math.sin(Math.PI * Math.min(1, Math.max(0, share))) : 0;
  // Packs are marked with their nominal or, of lithium-ion, their full voltage.
  const marks = [nominal_V, cells * chemistry.full_V, cells * Math.round(chemistry.nominal_V)];
  const fits = marked_V === null || marks.some((mark) => Math.abs(mark / marked_V - 1) < 0.04);
  const common = chemistry.name === "lithium-ion" ? 3 : 1;
  return { weight: fits ? shape * common : 0, guess };
}
