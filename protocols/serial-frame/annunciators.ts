import type { Coupling, Flag, Prefix, Quantity } from "../reading.js";
import { USUAL_PREFIXES, faceOf } from "./face.js";
import type { Face } from "./face.js";

/** One symbol of a display: 1-based byte of the frame, bit as a mask. */
export interface Annunciator {
  readonly byte: number;
  readonly bit: number;
}

/** Where the symbols of a display are in its frame. */
export interface AnnunciatorTable {
  readonly dc: Annunciator;
  readonly ac: Annunciator;
  readonly flags: Readonly<Partial<Record<Flag, Annunciator>>>;
  readonly prefixes: Readonly<Partial<Record<Prefix, Annunciator>>>;
  /** Continuity is ohms with the beeper symbol and has none of its own. */
  readonly quantities: Readonly<Partial<Record<Quantity, Annunciator>>>;
  readonly fahrenheit: Annunciator;
}

/** What the symbols of a frame say, or why they cannot all be lit at once. */
export function readAnnunciators(frame: Uint8Array, table: AnnunciatorTable): Face | string {
  const lit = ({ byte, bit }: Annunciator) => ((frame[byte - 1] ?? 0) & bit) !== 0;
  const flags = litOf(table.flags, lit);
  const quantities = litOf(table.quantities, lit);
  const fahrenheit = lit(table.fahrenheit);
  const shown = oneQuantity(fahrenheit ? [...quantities, "temperature"] : quantities);
  if (shown === null) return "function";
  const quantity = shown === "resistance" && flags.includes("beep") ? "continuity" : shown;
  const prefixes = litOf(table.prefixes, lit);
  const prefix = prefixes[0] ?? "";
  if (prefixes.length > 1 || !USUAL_PREFIXES[quantity].includes(prefix)) return "prefix";
  const coupling = couplingOf(quantity, lit(table.dc), lit(table.ac));
  return faceOf(quantity, coupling, prefix, flags, fahrenheit ? "°F" : undefined);
}

function litOf<Name extends string>(
  table: Readonly<Partial<Record<Name, Annunciator>>>,
  lit: (annunciator: Annunciator) => boolean,
): Name[] {
  const entries = Object.entries(table) as [Name, Annunciator][];
  return entries.filter(([, annunciator]) => lit(annunciator)).map(([name]) => name);
}

/** Exactly one function may be lit; only the diode test shows its volts beside its own symbol. */
function oneQuantity(lit: readonly Quantity[]): Quantity | null {
  if (lit.length === 2 && lit.includes("diode") && lit.includes("voltage")) return "diode";
  return lit.length === 1 ? (lit[0] ?? null) : null;
}

/** Only volts and amperes are direct or alternating. */
export function couplingOf(quantity: Quantity, dc: boolean, ac: boolean): Coupling | null {
  if (quantity !== "voltage" && quantity !== "current") return null;
  if (dc && ac) return "ac+dc";
  if (dc) return "dc";
  return ac ? "ac" : null;
}
