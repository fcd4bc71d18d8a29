import { unitOf } from "../../../protocols/reading.js";
import type { Quantity } from "../../../protocols/reading.js";
import type { Display } from "../../../protocols/segment-14/encode.js";

/** Named where the unit alone does not tell the function. */
const NAMED: Readonly<Partial<Record<Quantity, string>>> = {
  continuity: "CONT",
  diode: "DIODE",
};

/** A display as a line of text, such as "20.61 V DC AUTO" or "OL MOhm AUTO". */
export function encodeLine(display: Display): Uint8Array {
  const { quantity, coupling, prefix, flags } = display;
  const unit = unitOf(quantity).replace("Ω", "Ohm");
  const words = [
    digitsOf(display),
    `${prefix.replace("µ", "u")}${unit}`,
    coupling?.toUpperCase() ?? "",
    NAMED[quantity] ?? "",
    ...flags.map((flag) => flag.toUpperCase()),
  ];
  return new TextEncoder().encode(`${words.filter((word) => word !== "").join(" ")}\r\n`);
}

function digitsOf({ counts, negative, decimals }: Display): string {
  if (counts === "overload") return negative === true ? "-OL" : "OL";
  const digits = String(Math.abs(counts)).padStart(decimals + 1, "0");
  const whole = digits.slice(0, digits.length - decimals);
  const sign = counts < 0 ? "-" : "";
  return decimals === 0 ? sign + whole : `${sign}${whole}.${digits.slice(whole.length)}`;
}
