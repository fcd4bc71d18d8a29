/**
 * Tables of the 14-byte frame with five digits.
 *
 * FROM MEMORY: no data sheet was read, and the codes differ from chip to chip: those of the
 * amperes and of option bytes 1, 2 and 4 are the least certain. A correction is one line here.
 */
import type { NibbleLayout } from "./layout.js";

export const NIBBLE_14: NibbleLayout = {
  digits: 5,
  options: 4,
  dial: {
    0xb: {
      quantity: "voltage",
      ranges: ["2.2000 V", "22.000 V", "220.00 V", "2200.0 V", "220.00 mV"],
    },
    0xd: { quantity: "current", ranges: ["220.00 µA", "2200.0 µA"] },
    0xf: { quantity: "current", ranges: ["22.000 mA", "220.00 mA"] },
    0x0: { quantity: "current", ranges: ["22.000 A"] },
    0x9: { quantity: "current", ranges: ["2.2000 A", "22.000 A", "220.00 A"] },
    0x3: {
      quantity: "resistance",
      ranges: [
        "220.00 Ω",
        "2.2000 kΩ",
        "22.000 kΩ",
        "220.00 kΩ",
        "2.2000 MΩ",
        "22.000 MΩ",
        "220.00 MΩ",
      ],
    },
    0x5: { quantity: "continuity", ranges: ["220.00 Ω"] },
    0x1: { quantity: "diode", ranges: ["2.2000 V"] },
    0x2: {
      quantity: "frequency",
      ranges: [
        "22.000 Hz",
        "220.00 Hz",
        null,
        "22.000 kHz",
        "220.00 kHz",
        "2.2000 MHz",
        "22.000 MHz",
        "220.00 MHz",
      ],
      unjudged: { quantity: "duty", ranges: ["220.00 %"] },
    },
    0x6: {
      quantity: "capacitance",
      ranges: [
        "22.000 nF",
        "220.00 nF",
        "2.2000 µF",
        "22.000 µF",
        "220.00 µF",
        "2.2000 mF",
        "22.000 mF",
        "220.00 mF",
      ],
    },
    0x4: {
      quantity: "temperature",
      ranges: ["2200.0 °C"],
      unjudged: { quantity: "temperature", ranges: ["2200.0 °F"] },
    },
  },
  dc: { option: 3, bit: 8 },
  ac: { option: 3, bit: 4 },
  flags: {
    auto: { option: 3, bit: 2 },
    "auto-off": { option: 3, bit: 1 },
    max: { option: 1, bit: 8 },
    min: { option: 1, bit: 4 },
    relative: { option: 1, bit: 2 },
    peak: { option: 2, bit: 4 },
    bar: { option: 4, bit: 4 },
    hold: { option: 4, bit: 2 },
  },
  underRange: { option: 2, bit: 8 },
};
