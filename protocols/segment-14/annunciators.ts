import { USUAL_PREFIXES, faceOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import type { Coupling, Flag, Prefix, Quantity } from "../reading.js";
import { AC, DC, FAHRENHEIT, FLAG_BITS, PREFIX_BITS, QUANTITY_BITS } from "./bits.js";
import type { Annunciator } from "./bits.js";

/** What the annunciators of a frame say, or why they cannot all be lit at once. */
export function readAnnunciators(frame: Uint8Array): Face | string {
  const lit = ({ byte, bit }: Annunciator) => ((frame[byte - 1] ?? 0) & bit) !== 0;
  const flags = litOf(FLAG_BITS, lit) as Flag[];
  const prefixes = litOf(PREFIX_BITS, lit) as Prefix[];
  const quantity = oneQuantity(litOf(QUANTITY_BITS, lit) as Quantity[], lit(FAHRENHEIT));
  if (quantity === null) return "function";
  const meant = quantity === "resistance" && flags.includes("beep") ? "continuity" : quantity;
  const prefix = prefixes[0] ?? "";
  if (prefixes.length > 1 || !USUAL_PREFIXES[meant].includes(prefix)) return "prefix";
  const unit = lit(FAHRENHEIT) ? "°F" : undefined;
  return faceOf(meant, couplingOf(meant, lit(DC), lit(AC)), prefix, flags, unit);
}

function litOf(
  table: Readonly<Record<string, Annunciator>>,
  lit: (annunciator: Annunciator) => boolean,
): string[] {
  return Object.keys(table).filter((name) => {
    const annunciator = table[name];
    return annunciator !== undefined && lit(annunciator);
  });
}

/** Exactly one function may be lit; only the diode test shows its volts beside its own symbol. */
function oneQuantity(lit: readonly Quantity[], fahrenheit: boolean): Quantity | null {
  const all: readonly Quantity[] = fahrenheit ? [...lit, "temperature"] : lit;
  if (all.length === 2 && all.includes("diode") && all.includes("voltage")) return "diode";
  return all.length === 1 ? (all[0] ?? null) : null;
}

function couplingOf(quantity: Quantity, dc: boolean, ac: boolean): Coupling | null {
  if (quantity !== "voltage" && quantity !== "current") return null;
  if (dc && ac) return "ac+dc";
  if (dc) return "dc";
  return ac ? "ac" : null;
}
