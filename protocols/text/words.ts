import { faceOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import type { Coupling, Flag, Overload, Prefix, Quantity, Unit } from "../reading.js";

/** What the words of a line say beside its number. */
export interface Spoken {
  readonly quantity: Quantity | null;
  readonly coupling: Coupling | null;
  readonly unit: Unit | null;
  readonly prefix: Prefix;
  readonly flags: readonly Flag[];
  readonly overload: Overload;
}

const NOTHING: Spoken = {
  quantity: null,
  coupling: null,
  unit: null,
  prefix: "",
  flags: [],
  overload: false,
};

/** Unit symbols by their spelling in capitals: the quantity they imply and the unit itself. */
const UNIT_WORDS: Readonly<Record<string, readonly [Quantity, Unit]>> = {
  V: ["voltage", "V"],
  VOLT: ["voltage", "V"],
  VOLTS: ["voltage", "V"],
  A: ["current", "A"],
  AMP: ["current", "A"],
  AMPS: ["current", "A"],
  OHM: ["resistance", "Ω"],
  OHMS: ["resistance", "Ω"],
  "\u03a9": ["resistance", "Ω"],
  "\u2126": ["resistance", "Ω"],
  F: ["capacitance", "F"],
  HZ: ["frequency", "Hz"],
  "%": ["duty", "%"],
  W: ["power", "W"],
  C: ["temperature", "°C"],
  "°C": ["temperature", "°C"],
  DEGC: ["temperature", "°C"],
  "°F": ["temperature", "°F"],
  DEGF: ["temperature", "°F"],
};

const QUANTITY_WORDS: Readonly<Record<string, Quantity>> = {
  VOLTAGE: "voltage",
  CURR: "current",
  CURRENT: "current",
  RES: "resistance",
  FRES: "resistance",
  RESISTANCE: "resistance",
  CONT: "continuity",
  CONTINUITY: "continuity",
  DIOD: "diode",
  DIODE: "diode",
  CAP: "capacitance",
  CAPACITANCE: "capacitance",
  FREQ: "frequency",
  FREQUENCY: "frequency",
  DUTY: "duty",
  TEMP: "temperature",
  TEMPERATURE: "temperature",
  POWER: "power",
  HFE: "gain",
  GAIN: "gain",
};

const COUPLING_WORDS: Readonly<Record<string, Coupling>> = {
  DC: "dc",
  AC: "ac",
  "~": "ac",
  RMS: "ac",
  "AC+DC": "ac+dc",
  "DC+AC": "ac+dc",
  ACDC: "ac+dc",
};

const FLAG_WORDS: Readonly<Record<string, Flag>> = {
  AUTO: "auto",
  HOLD: "hold",
  REL: "relative",
  NULL: "relative",
  MIN: "min",
  MAX: "max",
  AVG: "average",
  AVERAGE: "average",
  PEAK: "peak",
  BATT: "low-battery",
  LOBAT: "low-battery",
  LOWBAT: "low-battery",
  APO: "auto-off",
  BEEP: "beep",
  LOZ: "low-z",
};

const OVERLOAD_WORDS = new Set(["OVER", "OVLD", "OVERLOAD", "OVERFLOW", "OVF", "INF", "INFINITY"]);

/** The letters of an over-range display, with the point anywhere: OL, 0L, .OL, 0.L, -OL. */
const OVERLOAD_SHAPE = /^[+-]?\.?[0O]\.?[0O]?\.?L\.?$/;

/** Said by meters and without meaning for the value. */
const SILENT_WORDS = new Set(["MAN", "MANUAL", "RANGE", "READING"]);

const UNIT_SHAPE =
  /^(AC\+DC|DC\+AC|DC|AC)?(MEG|meg|[pPnNuUµμmkKMG])?([A-Za-zΩ\u2126%°]+?)(AC\+DC|DC\+AC|ACDC|RMS|DC|AC|~)?$/;

/** Reads all words of a line; the first unknown word is returned as text where one stands. */
export function readWords(words: readonly string[], ignoreUnknown: boolean): Spoken | string {
  let spoken = NOTHING;
  for (const word of words) {
    const more = readWord(word);
    if (more === null && ignoreUnknown) continue;
    if (more === null) return "unknown word";
    const merged = merge(spoken, more);
    if (merged === null) return "words disagree";
    spoken = merged;
  }
  return spoken;
}

/** The face of a line; a quantity told in words outranks the one that the unit implies. */
export function faceOfSpoken(spoken: Spoken): Face {
  const { quantity, coupling, prefix, flags, unit } = spoken;
  return unit === null
    ? faceOf(quantity ?? "unspecified", coupling, prefix, flags)
    : faceOf(quantity ?? "unspecified", coupling, prefix, flags, unit);
}

function readWord(word: string): Partial<Spoken> | null {
  const capitals = word.toUpperCase();
  const coupling = COUPLING_WORDS[capitals];
  if (coupling !== undefined) return { coupling };
  const flag = FLAG_WORDS[capitals];
  if (flag !== undefined) return { flags: [flag] };
  const quantity = QUANTITY_WORDS[capitals];
  if (quantity !== undefined) return { quantity };
  if (SILENT_WORDS.has(capitals)) return {};
  return readOverload(capitals) ?? readUnit(word);
}

function readOverload(capitals: string): Partial<Spoken> | null {
  const bare = capitals.replace(/^[+-]/, "");
  if (!OVERLOAD_WORDS.has(bare) && !OVERLOAD_SHAPE.test(capitals)) return null;
  if (capitals.startsWith("-")) return { overload: "negative" };
  return { overload: capitals.startsWith("+") ? "positive" : true };
}

function readUnit(word: string): Partial<Spoken> | null {
  const [, before, prefix = "", symbol = "", after] = UNIT_SHAPE.exec(word) ?? [];
  const known = UNIT_WORDS[symbol.toUpperCase()];
  if (known === undefined) return null;
  const [quantity, unit] = known;
  const coupling = COUPLING_WORDS[(before ?? after ?? "").toUpperCase()] ?? null;
  return { quantity, unit, prefix: prefixMeant(prefix, quantity), coupling };
}

/** Capital letters only, say some meters: M is mega where such ranges exist, else milli. */
function prefixMeant(written: string, quantity: Quantity): Prefix {
  const hasMega = quantity === "resistance" || quantity === "frequency";
  switch (written) {
    case "":
    case "m":
    case "G":
      return written;
    case "p":
    case "P":
      return "p";
    case "n":
    case "N":
      return "n";
    case "k":
    case "K":
      return "k";
    case "M":
      return hasMega ? "M" : "m";
    case "MEG":
    case "meg":
      return "M";
    default:
      return "µ";
  }
}

function merge(a: Spoken, b: Partial<Spoken>): Spoken | null {
  if (a.unit !== null && b.unit !== undefined && b.unit !== null) return null;
  if (a.coupling !== null && b.coupling !== undefined && b.coupling !== null) {
    if (a.coupling !== b.coupling) return null;
  }
  return {
    quantity: mergeQuantity(a, b),
    coupling: b.coupling ?? a.coupling,
    unit: b.unit ?? a.unit,
    prefix: b.prefix ?? a.prefix,
    flags: b.flags === undefined ? a.flags : [...a.flags, ...b.flags],
    overload: b.overload ?? a.overload,
  };
}

/** "DIODE 0.612 V": the function word stands, the unit only says what it is counted in. */
function mergeQuantity(a: Spoken, b: Partial<Spoken>): Quantity | null {
  const told = b.quantity ?? null;
  if (told === null) return a.quantity;
  if (a.quantity === null) return told;
  const impliedByUnit = b.unit !== undefined && b.unit !== null;
  return impliedByUnit ? a.quantity : told;
}
