import { numberAt } from "../text/number.js";
import type { NumberFound } from "../text/number.js";

/** One element of a response message (IEEE 488.2 clause 8.7, from memory). */
export type Element =
  | { readonly kind: "number"; readonly number: NumberFound }
  | { readonly kind: "string"; readonly text: string }
  | { readonly kind: "block"; readonly bytes: Uint8Array }
  | { readonly kind: "other"; readonly text: string };

const HASH = 0x23;
const SPACE = 0x20;

/** Splits a message at commas and semicolons outside of strings and blocks. */
export function elementsOf(message: Uint8Array): Element[] {
  const elements: Element[] = [];
  let at = 0;
  while (at <= message.length) {
    while (message[at] === SPACE) at++;
    const { element, end } = elementAt(message, at);
    elements.push(element);
    at = nextSeparator(message, end) + 1;
  }
  return elements;
}

/** The message as people read it; bytes outside ASCII do not occur outside of blocks. */
export function messageText(message: Uint8Array): string {
  let text = "";
  for (const byte of message) text += String.fromCharCode(byte);
  return text.trim();
}

function elementAt(message: Uint8Array, at: number): { element: Element; end: number } {
  const first = message[at];
  if (first === 0x22 || first === 0x27) return stringAt(message, at, first);
  const block = first === HASH ? blockAt(message, at) : null;
  if (block !== null) return block;
  const end = nextSeparator(message, at);
  let last = end;
  while (last > at && message[last - 1] === SPACE) last--;
  const number = numberAt(message, at, last);
  if (number !== null && number.end === last) return { element: { kind: "number", number }, end };
  return { element: { kind: "other", text: messageText(message.subarray(at, last)) }, end };
}

/** A quote inside is sent twice (clause 8.7.8). */
function stringAt(
  message: Uint8Array,
  at: number,
  quote: number,
): { element: Element; end: number } {
  let text = "";
  let end = at + 1;
  for (; end < message.length; end++) {
    if (message[end] === quote && message[++end] !== quote) break;
    text += String.fromCharCode(message[end] ?? 0);
  }
  return { element: { kind: "string", text }, end };
}

/** null where it is no whole block: a message put together from damage may hold anything. */
function blockAt(message: Uint8Array, at: number): { element: Element; end: number } | null {
  const count = digitAt(message, at + 1);
  if (count === null) return null;
  const start = at + 2 + count;
  const length = count === 0 ? message.length - start : lengthAt(message, at + 2, count);
  if (length === null || start + length > message.length) return null;
  const end = start + length;
  return { element: { kind: "block", bytes: message.slice(start, end) }, end };
}

function lengthAt(message: Uint8Array, at: number, count: number): number | null {
  let length = 0;
  for (let n = 0; n < count; n++) {
    const digit = digitAt(message, at + n);
    if (digit === null) return null;
    length = length * 10 + digit;
  }
  return length;
}

function digitAt(message: Uint8Array, at: number): number | null {
  const digit = (message[at] ?? 0) - 0x30;
  return digit >= 0 && digit <= 9 ? digit : null;
}

function nextSeparator(message: Uint8Array, from: number): number {
  let at = from;
  while (at < message.length && message[at] !== 0x2c && message[at] !== 0x3b) at++;
  return at;
}
