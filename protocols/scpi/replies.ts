import type { Face } from "../serial-frame/face.js";
import type { Reading } from "../reading.js";
import { elementsOf, messageText } from "./elements.js";
import type { Element } from "./elements.js";
import { faceOfFunctionReply } from "./functions.js";
import { readingsOf } from "./values.js";
import type { ValueFormat } from "./values.js";

/** What a question expects. A reply of another kind is not taken for its answer. */
export type Expected =
  | { readonly kind: "identification" }
  | { readonly kind: "function" }
  | { readonly kind: "status" }
  | { readonly kind: "error" }
  | { readonly kind: "readings"; readonly face: Face };

export type Reply =
  | { readonly kind: "identification"; readonly text: string }
  | { readonly kind: "function"; readonly face: Face }
  | { readonly kind: "status"; readonly byte: number }
  | { readonly kind: "error"; readonly number: number; readonly text: string }
  | { readonly kind: "readings"; readonly readings: Reading[]; readonly reasons: string[] };

/** The message as an answer to what was asked; null where it cannot be one. */
export function replyOf(
  message: Uint8Array,
  expected: Expected,
  format: ValueFormat,
): Reply | null {
  const elements = elementsOf(message);
  switch (expected.kind) {
    case "identification":
      return identification(message, elements);
    case "function":
      return functionReply(elements);
    case "status":
      return statusReply(elements);
    case "error":
      return errorReply(elements);
    case "readings": {
      if (!elements.every(({ kind }) => kind === "number" || kind === "block")) return null;
      return { kind: "readings", ...readingsOf(elements, expected.face, format) };
    }
  }
}

/** Four fields: maker, model, serial number, firmware (IEEE 488.2 clause 10.14, from memory). */
function identification(message: Uint8Array, elements: readonly Element[]): Reply | null {
  const isText = elements.some(({ kind }) => kind === "other" || kind === "string");
  const isError = elements[0]?.kind === "number" && elements[1]?.kind === "string";
  if (!isText || isError || elements.length < 2) return null;
  return { kind: "identification", text: messageText(message) };
}

function functionReply(elements: readonly Element[]): Reply | null {
  const [only] = elements;
  if (elements.length !== 1 || (only?.kind !== "string" && only?.kind !== "other")) return null;
  return { kind: "function", face: faceOfFunctionReply(only.text) };
}

function statusReply(elements: readonly Element[]): Reply | null {
  const [only] = elements;
  if (elements.length !== 1 || only?.kind !== "number") return null;
  const { digits, exponent, hasExponent } = only.number;
  const isByte = exponent === 0 && !hasExponent && digits >= 0 && digits <= 255;
  return isByte ? { kind: "status", byte: digits } : null;
}

/** Number, text in quotes (SCPI-1999 vol. 2, 21.8, from memory); 0 is the empty queue. */
function errorReply(elements: readonly Element[]): Reply | null {
  const [number, text] = elements;
  if (number?.kind !== "number" || (text?.kind !== "string" && text?.kind !== "other")) return null;
  return { kind: "error", number: number.number.digits, text: text.text };
}
