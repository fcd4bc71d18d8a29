import type { Coupling, Flag, Prefix, Quantity } from "../reading.js";
import type { Annunciator } from "../serial-frame/annunciators.js";
import {
  DIGIT_BYTES,
  DIGIT_CODES,
  FRAME_LENGTH,
  SEGMENT_14_SYMBOLS,
  SENDING,
  SIGN_OR_POINT,
} from "./bits.js";

/** What a simulated meter shows. */
export interface Display {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
  readonly prefix: Prefix;
  /** Whole counts, −9999 to 9999 (minus zero shows a minus); "overload" shows 0L. */
  readonly counts: number | "overload";
  /** With an overload: shows the minus in front of it. */
  readonly negative?: boolean;
  /** Digits behind the point, 0 to 3. */
  readonly decimals: number;
  readonly flags: readonly Flag[];
}

/**
 * The 14 bytes of a display; the practice bench's meter sends them. Throws RangeError for what the
 * display cannot show.
 */
export function encodeSegment14(display: Display): Uint8Array {
  const frame = Uint8Array.from({ length: FRAME_LENGTH }, (_, at) => (at + 1) << 4);
  const light = ({ byte, bit }: Annunciator) =>
    void (frame[byte - 1] = (frame[byte - 1] ?? 0) | bit);
  for (const annunciator of annunciatorsOf(display)) light(annunciator);
  digitsOf(display).forEach((code, n) => {
    const byte = 2 + 2 * n;
    light({ byte, bit: code >> 4 });
    light({ byte: byte + 1, bit: code & 15 });
  });
  if (isNegative(display)) light({ byte: DIGIT_BYTES[0], bit: SIGN_OR_POINT });
  const pointed = DIGIT_BYTES[DIGIT_BYTES.length - display.decimals];
  if (pointed !== undefined) light({ byte: pointed, bit: SIGN_OR_POINT });
  return frame;
}

function isNegative({ counts, negative }: Display): boolean {
  return counts === "overload" ? negative === true : counts < 0 || Object.is(counts, -0);
}

const CODES = new Map(Object.entries(DIGIT_CODES).map(([code, shown]) => [shown, Number(code)]));

function digitsOf({ counts, decimals }: Display): number[] {
  if (!Number.isInteger(decimals) || decimals < 0 || decimals > 3) {
    throw new RangeError(`no point at ${decimals} decimals on a display of four digits`);
  }
  if (counts !== "overload" && (!Number.isInteger(counts) || Math.abs(counts) > 9999)) {
    throw new RangeError(`${counts} counts do not fit a display of four digits`);
  }
  const shown = counts === "overload" ? " 0L " : String(Math.abs(counts)).padStart(4, "0");
  return Array.from(shown, (letter) => CODES.get(letter) ?? 0);
}

function annunciatorsOf({ quantity, coupling, prefix, flags }: Display): Annunciator[] {
  const { dc, ac, prefixes, flags: flagSymbols } = SEGMENT_14_SYMBOLS;
  const lit = [SENDING, symbolOf(quantity)];
  if (quantity === "diode") lit.push(symbolOf("voltage"));
  if (quantity === "continuity") lit.push(known(flagSymbols.beep, "beep"));
  if (prefix !== "") lit.push(known(prefixes[prefix], prefix));
  if (coupling === "dc" || coupling === "ac+dc") lit.push(dc);
  if (coupling === "ac" || coupling === "ac+dc") lit.push(ac);
  return [...lit, ...flags.map((flag) => known(flagSymbols[flag], flag))];
}

function symbolOf(quantity: Quantity): Annunciator {
  const shown = quantity === "continuity" ? "resistance" : quantity;
  return known(SEGMENT_14_SYMBOLS.quantities[shown], quantity);
}

function known(annunciator: Annunciator | undefined, name: string): Annunciator {
  if (annunciator === undefined) throw new RangeError(`the display has no symbol for ${name}`);
  return annunciator;
}
