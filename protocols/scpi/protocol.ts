import type { Protocol } from "../protocol.js";
import { createScpiDecoder } from "./decode.js";
import { createScpiDialogue } from "./dialogue.js";

export const scpi: Protocol = {
  id: "scpi",
  title: "Instruments that answer SCPI",
  line: { baud: 9600, frame: "8n1", dtr: true, rts: true },
  interval_s: 1,
  frameLength: null,
  createDecoder: createScpiDecoder,
  createDialogue: createScpiDialogue,
};
