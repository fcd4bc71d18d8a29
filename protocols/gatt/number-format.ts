/** How a number lies in bytes, low byte first. */
export type NumberFormat =
  | "uint8"
  | "uint16"
  | "uint24"
  | "uint32"
  | "sint8"
  | "sint16"
  | "sint24"
  | "sint32"
  | "float32"
  | "float64"
  /** IEEE 11073-20601 annex F: 4 bits of exponent, 12 of mantissa. */
  | "medfloat16"
  /** The same: 8 and 24. */
  | "medfloat32";

export const LENGTHS: Readonly<Record<NumberFormat, number>> = {
  uint8: 1,
  uint16: 2,
  uint24: 3,
  uint32: 4,
  sint8: 1,
  sint16: 2,
  sint24: 3,
  sint32: 4,
  float32: 4,
  float64: 8,
  medfloat16: 2,
  medfloat32: 4,
};

/** A number as it was sent: a whole number with its decimal exponent, or a binary fraction. */
export type RawNumber =
  | { readonly kind: "decimal"; readonly digits: number; readonly exponent: number }
  | { readonly kind: "binary"; readonly value: number }
  | { readonly kind: "infinite"; readonly negative: boolean }
  | { readonly kind: "not a number" };

const NOT_A_NUMBER: RawNumber = { kind: "not a number" };

/** Reads `format` at the start of `bytes`, which hold enough of them. */
export function readNumber(bytes: Uint8Array, format: NumberFormat): RawNumber {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  switch (format) {
    case "float32":
      return binary(view.getFloat32(0, true));
    case "float64":
      return binary(view.getFloat64(0, true));
    case "medfloat16":
      return medfloat(unsigned(bytes, 2), 12, 4);
    case "medfloat32":
      return medfloat(unsigned(bytes, 4), 24, 8);
    case "uint8":
    case "uint16":
    case "uint24":
    case "uint32":
      return { kind: "decimal", digits: unsigned(bytes, LENGTHS[format]), exponent: 0 };
    case "sint8":
    case "sint16":
    case "sint24":
    case "sint32": {
      const length = LENGTHS[format];
      return { kind: "decimal", digits: signed(unsigned(bytes, length), 8 * length), exponent: 0 };
    }
  }
}

function unsigned(bytes: Uint8Array, length: number): number {
  let value = 0;
  for (let at = length - 1; at >= 0; at--) value = value * 256 + (bytes[at] ?? 0);
  return value;
}

/** Two's complement. */
function signed(value: number, bits: number): number {
  return value >= 2 ** (bits - 1) ? value - 2 ** bits : value;
}

function binary(value: number): RawNumber {
  if (Number.isNaN(value)) return NOT_A_NUMBER;
  if (!Number.isFinite(value)) return { kind: "infinite", negative: value < 0 };
  return { kind: "binary", value };
}

/** Five mantissas around the most negative one are special when the exponent is 0. */
function medfloat(raw: number, mantissaBits: number, exponentBits: number): RawNumber {
  const digits = signed(raw % 2 ** mantissaBits, mantissaBits);
  const exponent = signed(Math.floor(raw / 2 ** mantissaBits), exponentBits);
  const limit = 2 ** (mantissaBits - 1);
  if (exponent === 0) {
    if (digits === limit - 2) return { kind: "infinite", negative: false };
    if (digits === 2 - limit) return { kind: "infinite", negative: true };
    if (digits === limit - 1 || digits === -limit || digits === 1 - limit) return NOT_A_NUMBER;
  }
  return { kind: "decimal", digits, exponent };
}
