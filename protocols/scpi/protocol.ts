import type { Protocol } from "../protocol.js";
import { createScpiDecoder } from "./decode.js";
import { SCPI_OPTION_NAMES } from "./options.js";
import { createScpiDialogue } from "./dialogue.js";

export const scpi: Protocol = {
  id: "scpi",
  title: "Instruments that answer SCPI",
  line: { baud: 9600, frame: "8n1", dtr: true, rts: true },
  interval_s: 1,
  frameLength: null,
  options: SCPI_OPTION_NAMES,
  createDecoder: createScpiDecoder,
  createDialogue: createScpiDialogue,
};
