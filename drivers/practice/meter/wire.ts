import { LeadhandError } from "../../../protocols/error.js";
import { encodeSegment14 } from "../../../protocols/segment-14/encode.js";
import type { Display } from "../../../protocols/segment-14/encode.js";
import { encodeLine } from "./text-line.js";

/** How displays become bytes on a line. */
export interface Wire {
  encode(display: Display): Uint8Array;
  /** Time that one byte takes, seconds. */
  readonly byte_s: number;
  /** The longest that one display becomes, bytes. */
  readonly longest: number;
}

/** Ten bits a byte: start, eight data, stop. */
const BITS = 10;

const WIRES: Readonly<Record<string, Wire>> = {
  "segment-14": { encode: encodeSegment14, byte_s: BITS / 2400, longest: 14 },
  "ascii-line": { encode: encodeLine, byte_s: BITS / 921_600, longest: 40 },
};

/** @throws LeadhandError usage/practice-protocol for one that the practice meter does not speak. */
export function wireOf(protocol: string): Wire {
  const wire = WIRES[protocol];
  if (wire !== undefined) return wire;
  throw new LeadhandError("usage/practice-protocol", {
    what: `The practice meter does not speak "${protocol}".`,
    action: `Use one of: ${Object.keys(WIRES).join(", ")}.`,
  });
}

/** Beyond this the simulation itself would be too coarse. */
const HIGHEST_Hz = 1000;

/** @throws LeadhandError usage/practice-rate where the line cannot carry so many readings. */
export function checkRate(wire: Wire, rate_Hz: number): void {
  const most = Math.floor(Math.min(HIGHEST_Hz, 1 / (wire.longest * wire.byte_s)));
  if (rate_Hz > 0 && rate_Hz <= most) return;
  throw new LeadhandError("usage/practice-rate", {
    what: `The practice meter cannot send ${rate_Hz} readings a second over this protocol.`,
    action: `Give a rate up to ${most}; ascii-line carries ${HIGHEST_Hz}.`,
  });
}
