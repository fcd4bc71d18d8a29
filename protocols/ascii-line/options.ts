import { COUPLINGS, QUANTITIES, unitOf } from "../reading.js";
import type { Coupling, Quantity } from "../reading.js";
import type { ProtocolOptions } from "../protocol.js";
import { badOption, choice, numeric } from "../text/options.js";
import { faceOfSpoken, readWords } from "../text/words.js";
import type { Face } from "../serial-frame/face.js";
import type { Terminator } from "../text/line-splitter.js";

export const LINE_OPTION_NAMES = [
  "separator",
  "decimal",
  "terminator",
  "field",
  "quantity",
  "coupling",
  "unit",
  "words",
  "first",
] as const;

/**
 * How to read the lines of one meter, from its address:
 *
 * | option     | meaning                                                              |
 * | ---------- | -------------------------------------------------------------------- |
 * | separator  | what stands between the parts: any (default), space, tab, comma, semicolon |
 * | decimal    | point (default) or comma                                             |
 * | terminator | any (default), lf, cr, crlf                                          |
 * | field      | the number is this part, from 1; other numbers are ignored           |
 * | quantity   | for lines that do not say what they measure                          |
 * | coupling   | the same for dc, ac                                                  |
 * | unit       | for bare numbers, with its prefix: mV, kΩ                            |
 * | words      | known (default: a line with an unknown word is rejected) or any      |
 * | first      | drop (default: the first line may have lost its front) or keep       |
 */
export interface LineOptions {
  readonly isSeparator: Uint8Array;
  readonly point: number;
  readonly terminator: Terminator;
  /** From 0; null: the only number of the line. */
  readonly field: number | null;
  /** For lines without unit. */
  readonly bare: Face;
  readonly quantity: Quantity | null;
  readonly coupling: Coupling | null;
  readonly anyWords: boolean;
  readonly keepFirst: boolean;
}

const SEPARATORS = { any: " \t,;", space: " ", tab: "\t", comma: " ,", semicolon: " ;" } as const;
const SEPARATOR_NAMES = ["any", "space", "tab", "comma", "semicolon"] as const;

export function lineOptions(options: ProtocolOptions): LineOptions {
  const decimal = choice(options, "decimal", ["point", "comma", ".", ","], "point");
  const point = decimal === "point" || decimal === "." ? "." : ",";
  const coupling = "coupling" in options ? choice(options, "coupling", COUPLINGS, "dc") : null;
  const quantity =
    "quantity" in options ? choice(options, "quantity", QUANTITIES, "unspecified") : null;
  const field = numeric(options, "field", 1, 0);
  return {
    isSeparator: separatorTable(separatorsOf(options).replace(point, "")),
    point: point.charCodeAt(0),
    terminator: choice(options, "terminator", ["any", "lf", "cr", "crlf"], "any"),
    field: field === 0 ? null : Math.floor(field) - 1,
    bare: bareFace(options["unit"], quantity, coupling),
    quantity,
    coupling,
    anyWords: choice(options, "words", ["known", "any"], "known") === "any",
    keepFirst: choice(options, "first", ["drop", "keep"], "drop") === "keep",
  };
}

/** By name, or the character itself (`separator=;`). */
function separatorsOf(options: ProtocolOptions): string {
  const given = options["separator"];
  if (given !== undefined && given.length === 1) return ` ${given}`;
  return SEPARATORS[choice(options, "separator", SEPARATOR_NAMES, "any")];
}

function separatorTable(letters: string): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, byte) =>
    letters.includes(String.fromCharCode(byte)) ? 1 : 0,
  );
}

function bareFace(
  unit: string | undefined,
  quantity: Quantity | null,
  coupling: Coupling | null,
): Face {
  const spoken = readWords(unit === undefined ? [] : [unit], false);
  if (typeof spoken === "string" || (unit !== undefined && spoken.unit === null)) {
    throw badOption("unit", unit ?? "", "a unit with its prefix, such as mV, A, kΩ");
  }
  const meant = quantity ?? spoken.quantity;
  return faceOfSpoken({
    ...spoken,
    quantity: meant,
    coupling: spoken.coupling ?? coupling,
    unit: spoken.unit ?? (meant === null ? null : unitOf(meant)),
  });
}
