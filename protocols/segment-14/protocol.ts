import type { Protocol } from "../protocol.js";
import { FRAME_LENGTH } from "./bits.js";
import { createSegment14Decoder } from "./decode.js";

export const segment14: Protocol = {
  id: "segment-14",
  title: "14-byte frames of LCD segments, 2400 baud",
  line: { baud: 2400, frame: "8n1", dtr: true, rts: false },
  interval_s: 0.4,
  frameLength: FRAME_LENGTH,
  createDecoder: createSegment14Decoder,
};
