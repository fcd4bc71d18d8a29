import { faceOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import type { Coupling, Quantity } from "../reading.js";

/** A function of an instrument, under its name in our options. */
export interface InstrumentFunction {
  /** SCPI-1999 vol. 2 (from memory); capitals are the short form. */
  readonly node: string;
  readonly face: Face;
}

function known(node: string, quantity: Quantity, coupling: Coupling | null): InstrumentFunction {
  return { node, face: faceOf(quantity, coupling, "", []) };
}

export const FUNCTIONS: ReadonlyMap<string, InstrumentFunction> = new Map([
  ["voltage-dc", known("VOLTage:DC", "voltage", "dc")],
  ["voltage-ac", known("VOLTage:AC", "voltage", "ac")],
  ["current-dc", known("CURRent:DC", "current", "dc")],
  ["current-ac", known("CURRent:AC", "current", "ac")],
  ["resistance", known("RESistance", "resistance", null)],
  ["resistance-4-wire", known("FRESistance", "resistance", null)],
  ["continuity", known("CONTinuity", "continuity", null)],
  ["diode", known("DIODe", "diode", null)],
  ["capacitance", known("CAPacitance", "capacitance", null)],
  ["frequency", known("FREQuency", "frequency", null)],
  ["temperature", known("TEMPerature", "temperature", null)],
]);

const UNKNOWN_FACE = faceOf("unspecified", null, "", []);

/**
 * The face behind an instrument's own answer to FUNCtion?: "VOLT", "VOLT:DC", "VOLTAGE:AC".
 * Without coupling, dc is meant. An unknown function gives bare numbers.
 */
export function faceOfFunctionReply(reply: string): Face {
  const asked = reply.trim().toUpperCase().split(":");
  for (const { node, face } of FUNCTIONS.values()) {
    const words = node.split(":");
    const fits = words.every((word, n) => fitsWord(word, asked[n] ?? (n > 0 ? "DC" : "")));
    if (fits && asked.length <= words.length) return face;
  }
  return UNKNOWN_FACE;
}

function fitsWord(word: string, asked: string): boolean {
  return asked === shortForm(word) || asked === word.toUpperCase();
}

/** "CONFigure:VOLTage:DC" → "CONF:VOLT:DC". */
export function shortForm(mnemonics: string): string {
  return mnemonics.replace(/[a-z]+/g, "");
}

export function longForm(mnemonics: string): string {
  return mnemonics.toUpperCase();
}
