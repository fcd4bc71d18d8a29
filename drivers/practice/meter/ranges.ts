import type { Coupling, Prefix, Quantity } from "../../../protocols/reading.js";

/** Open-circuit voltage and short-circuit current of what ohms and diode test with. */
export interface TestSource {
  readonly volt: number;
  readonly ampere: number;
}

/** One range of a function: how it is displayed, and its test source where it has one. */
export interface Range {
  readonly prefix: Prefix;
  readonly decimals: number;
  /** Counts at which the range ends. */
  readonly counts: number;
  readonly test?: TestSource;
}

/** One position of the dial. */
export interface DialFunction {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
  /** From the most sensitive on. */
  readonly ranges: readonly Range[];
  /** Share of the reading and counts that the maker allows; the real error lies within half. */
  readonly accuracy: { readonly share: number; readonly counts: number };
}

const COUNTS = 6000;

function range(prefix: Prefix, decimals: number, test?: Range["test"]): Range {
  return { prefix, decimals, counts: COUNTS, ...(test === undefined ? {} : { test }) };
}

const volts: readonly Range[] = [range("", 3), range("", 2), range("", 1), range("", 0)];

/** Open-circuit voltage of the ohms function: below a silicon junction at full range. */
const OHMS_VOLT = 1.2;

function ohms(prefix: Prefix, decimals: number, ampere: number): Range {
  return range(prefix, decimals, { volt: OHMS_VOLT, ampere });
}

/**
 * The dial of an invented 6000-count hand-held meter, in the order in which the knob passes its
 * positions. Figures are typical of the class, none is of a particular meter.
 */
export const DIAL: readonly DialFunction[] = [
  {
    quantity: "voltage",
    coupling: "ac",
    ranges: volts,
    accuracy: { share: 0.01, counts: 5 },
  },
  {
    quantity: "voltage",
    coupling: "dc",
    ranges: volts,
    accuracy: { share: 0.005, counts: 3 },
  },
  {
    quantity: "resistance",
    coupling: null,
    ranges: [
      ohms("", 1, 1e-3),
      ohms("k", 3, 1e-4),
      ohms("k", 2, 1e-5),
      ohms("k", 1, 1e-6),
      ohms("M", 3, 1e-7),
      ohms("M", 2, 2e-8),
    ],
    accuracy: { share: 0.01, counts: 3 },
  },
  {
    quantity: "continuity",
    coupling: null,
    ranges: [ohms("", 1, 1e-3)],
    accuracy: { share: 0.01, counts: 5 },
  },
  {
    quantity: "diode",
    coupling: null,
    ranges: [{ prefix: "", decimals: 3, counts: 3000, test: { volt: 3.2, ampere: 1e-3 } }],
    accuracy: { share: 0.01, counts: 5 },
  },
];

/** A clamp round the lead of the pack, for the second channel: invented, typical of the class. */
export const CLAMP_DIAL: readonly DialFunction[] = [
  {
    quantity: "current",
    coupling: "dc",
    ranges: [range("", 2), range("", 1)],
    accuracy: { share: 0.02, counts: 8 },
  },
];
