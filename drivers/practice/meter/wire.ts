import { LeadhandError } from "../../../protocols/error.js";
import { encodeSegment14 } from "../../../protocols/segment-14/encode.js";
import type { Display } from "../../../protocols/segment-14/encode.js";

/** How displays become bytes on a line. */
export interface Wire {
  encode(display: Display): Uint8Array;
  /** Time that one byte takes, seconds. */
  readonly byte_s: number;
}

/** Ten bits a byte: start, eight data, stop. */
const BITS = 10;

const WIRES: Readonly<Record<string, Wire>> = {
  "segment-14": { encode: encodeSegment14, byte_s: BITS / 2400 },
};

export const WIRE_PROTOCOLS: readonly string[] = Object.keys(WIRES);

/** @throws LeadhandError usage/practice-protocol for one that the practice meter does not speak. */
export function wireOf(protocol: string): Wire {
  const wire = WIRES[protocol];
  if (wire !== undefined) return wire;
  throw new LeadhandError("usage/practice-protocol", {
    what: `The practice meter does not speak "${protocol}".`,
    action: `Use one of: ${WIRE_PROTOCOLS.join(", ")}.`,
  });
}
