import type { Protocol } from "../protocol.js";
import { nibbleDecoders } from "./decode.js";
import { frameLengthOf } from "./layout.js";
import type { NibbleLayout } from "./layout.js";
import { NIBBLE_11 } from "./nibble-11.js";
import { NIBBLE_14 } from "./nibble-14.js";

function protocolOf(layout: NibbleLayout, id: string, title: string): Protocol {
  return {
    id,
    title,
    line: { baud: 19200, frame: "7o1", dtr: true, rts: false },
    interval_s: 0.5,
    frameLength: frameLengthOf(layout),
    createDecoder: nibbleDecoders(layout),
  };
}

export const nibble11 = protocolOf(
  NIBBLE_11,
  "nibble-11",
  "11-byte frames of nibbles, four digits, 19200 baud 7O1",
);

export const nibble14 = protocolOf(
  NIBBLE_14,
  "nibble-14",
  "14-byte frames of nibbles, five digits, 19200 baud 7O1",
);
