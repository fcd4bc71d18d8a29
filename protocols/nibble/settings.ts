import { PREFIXES, UNITS } from "../reading.js";
import type { Flag, Prefix, Unit } from "../reading.js";
import { couplingOf } from "../serial-frame/annunciators.js";
import { faceOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { STATUS } from "./layout.js";
import type { DialPosition, NibbleLayout, OptionBit } from "./layout.js";

/** All that a frame says except its value. */
export interface Settings {
  readonly face: Face;
  readonly decimals: number;
}

/** Range, function, status and options of a frame, or the reason why there is no such setting. */
export function readSettings(frame: Uint8Array, layout: NibbleLayout): Settings | string {
  const nibble = (at: number) => (frame[at] ?? 0) & 15;
  const { digits } = layout;
  const lit = ({ option, bit }: OptionBit) => (nibble(digits + 2 + option) & bit) !== 0;
  if (layout.underRange !== undefined && lit(layout.underRange)) return "under range";
  const position = layout.dial[nibble(digits + 1)];
  if (position === undefined) return "function";
  const status = nibble(digits + 2);
  const { quantity, ranges } = measured(position, (status & STATUS.judge) !== 0);
  const fullScale = ranges[nibble(0)] ?? null;
  if (fullScale === null) return "range";
  const { decimals, prefix, unit } = readFullScale(fullScale);
  const coupling = couplingOf(quantity, lit(layout.dc), lit(layout.ac));
  const flags = litFlags(layout, lit, (status & STATUS.lowBattery) !== 0);
  return { face: faceOf(quantity, coupling, prefix, flags, unit), decimals };
}

function measured(position: DialPosition, judged: boolean): Omit<DialPosition, "unjudged"> {
  return judged || position.unjudged === undefined ? position : position.unjudged;
}

function litFlags(
  { flags }: NibbleLayout,
  lit: (bit: OptionBit) => boolean,
  lowBattery: boolean,
): Flag[] {
  const entries = Object.entries(flags) as [Flag, OptionBit][];
  const shown = entries.filter(([, bit]) => lit(bit)).map(([flag]) => flag);
  return lowBattery ? [...shown, "low-battery"] : shown;
}

/** "°F" ends in "F" too. */
const LONGEST_FIRST = UNITS.toSorted((a, b) => b.length - a.length);

/** "220.00 mV" → two decimals, milli, volts. */
function readFullScale(text: string): { decimals: number; prefix: Prefix; unit: Unit } {
  const [digits = "", symbol = ""] = text.split(" ");
  const unit = LONGEST_FIRST.find((known) => symbol.endsWith(known)) ?? "";
  const written = symbol.slice(0, symbol.length - unit.length);
  const prefix = PREFIXES.find((known) => known === written) ?? "";
  const point = digits.indexOf(".");
  return { decimals: point < 0 ? 0 : digits.length - point - 1, prefix, unit };
}
