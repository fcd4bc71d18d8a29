import type { Overload, Quantity } from "../../protocols/reading.js";

const ONES =
  "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(
    " ",
  );
const TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split(" ");

/** "-17.94" → "minus seventeen point nine four". Whole part up to 999,999; digits after the point one by one. */
export function numberWords(digits: string): string {
  const negative = digits.startsWith("-");
  const [whole = "0", fraction = ""] = digits.replace(/^[-+]/, "").split(".");
  const words = [wholeWords(Number(whole))];
  if (fraction !== "")
    words.push("point", ...Array.from(fraction, (digit) => ONES[Number(digit)] ?? ""));
  return `${negative ? "minus " : ""}${words.join(" ")}`;
}

function wholeWords(value: number): string {
  if (value >= 1000) return [...groups(value, 1000, "thousand")].join(" ");
  if (value >= 100) return [...groups(value, 100, "hundred")].join(" ");
  if (value < 20) return ONES[value] ?? "";
  const ten = TENS[Math.floor(value / 10)] ?? "";
  return value % 10 === 0 ? ten : `${ten}-${ONES[value % 10] ?? ""}`;
}

function* groups(value: number, size: number, name: string): Iterable<string> {
  yield `${wholeWords(Math.floor(value / size))} ${name}`;
  if (value % size !== 0) yield wholeWords(value % size);
}

const UNIT_WORDS: Readonly<Record<string, string>> = {
  V: "volts",
  A: "amps",
  Ω: "ohms",
  F: "farads",
  Hz: "hertz",
  "%": "percent",
  "°C": "degrees Celsius",
  "°F": "degrees Fahrenheit",
  W: "watts",
  s: "seconds",
};
const PREFIXES = [
  { factor: 1e6, word: "mega" },
  { factor: 1e3, word: "kilo" },
  { factor: 1, word: "" },
  { factor: 1e-3, word: "milli" },
  { factor: 1e-6, word: "micro" },
  { factor: 1e-9, word: "nano" },
];
/** These are said as they are; a prefix would be silly ("millipercent"). */
const WITHOUT_PREFIX = new Set(["", "%", "°C", "°F", "s"]);

export interface SpokenValue {
  readonly value: number | null;
  readonly unit: string;
  /** The value of one count: says how many digits are real. null: three significant ones. */
  readonly resolution?: number | null;
  readonly overload?: Overload;
  readonly quantity?: Quantity;
}

/** The held value as it is said: "seventeen point nine four volts", "open circuit". */
export function valueWords(spoken: SpokenValue): string {
  const { value, unit } = spoken;
  if (value === null) return nothingWords(spoken);
  const { factor, word } = prefixFor(value, unit, spoken.resolution ?? null);
  const digits = (value / factor).toFixed(decimals(value / factor, factor, spoken.resolution));
  const unitWord = UNIT_WORDS[unit] ?? unit;
  return `${numberWords(withoutMinusZero(digits))} ${word}${unitWord}`.trim();
}

function nothingWords({ overload, unit }: SpokenValue): string {
  if (overload === undefined || overload === false) return "no value";
  return unit === "Ω" ? "open circuit" : "over range";
}

function prefixFor(value: number, unit: string, resolution: number | null) {
  const plain = { factor: 1, word: "" };
  if (WITHOUT_PREFIX.has(unit)) return plain;
  // A zero is told in the unit itself, and so is what the meter shows with digits before the point.
  const size = Math.abs(value);
  if (size === 0 || (size < 1 && (resolution ?? 0) >= 1e-3)) return plain;
  return PREFIXES.find(({ factor }) => size >= factor * (1 - 1e-12)) ?? plain;
}

function decimals(scaled: number, factor: number, resolution: number | null | undefined): number {
  if (resolution && resolution > 0) {
    return Math.min(9, Math.max(0, Math.ceil(-Math.log10(resolution / factor) - 1e-9)));
  }
  const before = Math.floor(Math.log10(Math.max(Math.abs(scaled), 1))) + 1;
  return Math.max(0, 3 - before);
}

function withoutMinusZero(digits: string): string {
  return /^-0(\.0*)?$/.test(digits) ? digits.slice(1) : digits;
}

/** A limit as it is said: no digits that it does not have. */
export function limitWords(value: number, unit: string): string {
  const { factor, word } = prefixFor(value, unit, Math.abs(value) < LEAST ? null : LEAST);
  const digits = String(Number((value / factor).toPrecision(4)));
  const plain = digits.includes("e") ? (value / factor).toFixed(0) : digits;
  return `${numberWords(plain)} ${word}${UNIT_WORDS[unit] ?? unit}`.trim();
}

/** Limits down to a hundredth of the unit are said in the unit itself: zero point three volts. */
const LEAST = 0.01;
