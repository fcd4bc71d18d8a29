import type { Protocol } from "../protocol.js";
import { FRAME_LENGTH } from "./bits.js";
import { createAscii14Decoder } from "./decode.js";

export const ascii14: Protocol = {
  id: "ascii-14",
  title: "14-byte frames of ASCII digits and status bits, 2400 baud",
  line: { baud: 2400, frame: "8n1", dtr: true, rts: false },
  interval_s: 0.4,
  frameLength: FRAME_LENGTH,
  createDecoder: createAscii14Decoder,
};
