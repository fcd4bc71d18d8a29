import type { Protocol } from "../protocol.js";
import { createGattDecoder } from "./decode.js";
import { GATT_OPTION_NAMES } from "./options.js";

export const gatt: Protocol = {
  id: "gatt",
  title: "Bluetooth characteristics of voltage, current, temperature",
  // Has no line: the radio carries whole values.
  line: { baud: 9600, frame: "8n1", dtr: false, rts: false },
  interval_s: 1,
  frameLength: null,
  isUnframed: true,
  options: GATT_OPTION_NAMES,
  createDecoder: createGattDecoder,
};
