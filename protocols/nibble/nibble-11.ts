/**
 * Tables of the 11-byte frame with four digits.
 *
 * FROM MEMORY: no data sheet was read, and the codes differ from chip to chip: those of the
 * amperes and of option byte 1 are the least certain. A correction is one line here.
 */
import type { NibbleLayout } from "./layout.js";

export const NIBBLE_11: NibbleLayout = {
  digits: 4,
  options: 2,
  dial: {
    0xb: {
      quantity: "voltage",
      ranges: ["4.000 V", "40.00 V", "400.0 V", "4000 V", "400.0 mV"],
    },
    0xd: { quantity: "current", ranges: ["400.0 µA", "4000 µA"] },
    0x9: { quantity: "current", ranges: ["40.00 mA", "400.0 mA"] },
    0xf: { quantity: "current", ranges: ["4.000 A", "40.00 A"] },
    0x3: {
      quantity: "resistance",
      ranges: ["400.0 Ω", "4.000 kΩ", "40.00 kΩ", "400.0 kΩ", "4.000 MΩ", "40.00 MΩ"],
    },
    0x5: { quantity: "continuity", ranges: ["400.0 Ω"] },
    0x1: { quantity: "diode", ranges: ["4.000 V"] },
    0x2: {
      quantity: "frequency",
      ranges: [
        "40.00 Hz",
        "400.0 Hz",
        "4.000 kHz",
        "40.00 kHz",
        "400.0 kHz",
        "4.000 MHz",
        "40.00 MHz",
        "400.0 MHz",
      ],
      unjudged: { quantity: "duty", ranges: ["400.0 %"] },
    },
    0x6: {
      quantity: "capacitance",
      ranges: [
        "4.000 nF",
        "40.00 nF",
        "400.0 nF",
        "4.000 µF",
        "40.00 µF",
        "400.0 µF",
        "4.000 mF",
        "40.00 mF",
      ],
    },
    0x4: {
      quantity: "temperature",
      ranges: ["4000 °C"],
      unjudged: { quantity: "temperature", ranges: ["4000 °F"] },
    },
  },
  dc: { option: 2, bit: 8 },
  ac: { option: 2, bit: 4 },
  flags: {
    auto: { option: 2, bit: 2 },
    "auto-off": { option: 2, bit: 1 },
    max: { option: 1, bit: 8 },
    min: { option: 1, bit: 4 },
    hold: { option: 1, bit: 2 },
    relative: { option: 1, bit: 1 },
  },
};
