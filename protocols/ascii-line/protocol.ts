import type { Protocol } from "../protocol.js";
import { LINE_OPTION_NAMES } from "./options.js";
import { createAsciiLineDecoder } from "./decode.js";

export const asciiLine: Protocol = {
  id: "ascii-line",
  title: "Lines of text: number, unit, function",
  line: { baud: 9600, frame: "8n1", dtr: true, rts: true },
  interval_s: 0.5,
  frameLength: null,
  options: LINE_OPTION_NAMES,
  variants: [{ decimal: "comma" }],
  createDecoder: createAsciiLineDecoder,
};
