import { LeadhandError } from "../protocols/error.js";
import { nearest } from "./nearest.js";

/**
 * A meter address, one syntax everywhere: `scheme:target?option=value&option=value`. Percent
 * escapes as in RFC 3986; a plus sign is a plus sign. What schemes and options there are is known
 * to the link registry (`links.ts`); this file knows the syntax alone.
 */
export interface MeterAddress {
  readonly scheme: string;
  /** Port, host, device or file, unescaped; may be empty (`practice:?seed=1`). */
  readonly target: string;
  /** In the order given; an option given twice holds both values, joined by a comma. */
  readonly options: ReadonlyMap<string, string>;
}

const SYNTAX = /^([a-z][a-z0-9+.-]*):(.*)$/is;

/** Throws `usage/meter-address` where the text is not an address. */
export function parseAddress(text: string): MeterAddress {
  const match = SYNTAX.exec(text.trim());
  if (match?.[1] === undefined || match[2] === undefined || looksLikePath(text)) throw bare(text);
  const [rest = "", query, more] = match[2].split("?");
  if (more !== undefined) throw unreadable(text, "it has two question marks; write the second %3F");
  const scheme = match[1].toLowerCase();
  return { scheme, target: unescape(slashes(rest), text), options: parseQuery(query ?? "", text) };
}

/** The address as text; `parseAddress` of it gives the same address back. */
export function formatAddress(address: MeterAddress): string {
  const target = escape(address.target, /[%?#\s]/g);
  const slashed = address.scheme === "tcp" || target.startsWith("//") ? `//${target}` : target;
  const query = [...address.options].map(
    ([name, value]) => `${escape(name, /[%&=?#\s]/g)}=${escape(value, /[%&?#\s]/g)}`,
  );
  return `${address.scheme}:${slashed}${query.length === 0 ? "" : `?${query.join("&")}`}`;
}

/** A path or a port name without its scheme is the likeliest slip: say what was meant. */
function bare(text: string): LeadhandError {
  const guess = /^[\\/.]|^com\d/i.test(text) ? `serial:${text.trim()}` : "serial:/dev/ttyUSB0";
  return new LeadhandError("usage/meter-address", {
    what: `"${text}" is not a meter address: it does not say how the meter is connected.`,
    action: `Write it with its kind in front, such as ${guess}?protocol=segment-14.`,
  });
}

/** `C:\…` would otherwise read as the scheme "c". */
function looksLikePath(text: string): boolean {
  return /^[a-z]:[\\/]/i.test(text.trim());
}

function unreadable(text: string, why: string): LeadhandError {
  return new LeadhandError("usage/meter-address", {
    what: `The meter address "${text}" cannot be read: ${why}.`,
    action: "Correct it; options follow one question mark as name=value, joined by &.",
  });
}

/** `tcp://host` and `serial:///dev/x`: the two slashes open an authority and are not of the name. */
function slashes(rest: string): string {
  return rest.startsWith("//") ? rest.slice(2) : rest;
}

function parseQuery(query: string, text: string): ReadonlyMap<string, string> {
  const options = new Map<string, string>();
  for (const part of query.split("&")) {
    if (part === "") continue;
    const cut = part.indexOf("=");
    if (cut <= 0) throw unreadable(text, `"${part}" is not name=value`);
    const name = unescape(part.slice(0, cut), text);
    const value = unescape(part.slice(cut + 1), text);
    const before = options.get(name);
    options.set(name, before === undefined ? value : `${before},${value}`);
  }
  return options;
}

function unescape(part: string, text: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    throw unreadable(text, `"${part}" has a % that starts no escape; write a plain % as %25`);
  }
}

function escape(part: string, reserved: RegExp): string {
  return part.replace(reserved, (character) => encodeURIComponent(character));
}

/** Throws `usage/meter-option` for the first option that nobody knows, with the nearest known. */
export function refuseUnknown(address: MeterAddress, known: readonly string[]): void {
  for (const name of address.options.keys()) {
    if (known.includes(name)) continue;
    const guess = nearest(name, known);
    throw new LeadhandError("usage/meter-option", {
      what: `A ${address.scheme}: address has no option "${name}".`,
      action: guess === null ? `Known: ${known.join(", ")}.` : `Did you mean "${guess}"?`,
    });
  }
}

/** An option that takes one of a few words; throws `usage/meter-option` on any other. */
export function choiceOf<T extends string>(
  address: MeterAddress,
  name: string,
  choices: readonly T[],
): T | undefined {
  const text = address.options.get(name);
  const found = choices.find((choice) => choice === text?.toLowerCase());
  if (text === undefined || found !== undefined) return found;
  throw badOption(name, text, `Give one of ${choices.join(", ")}.`);
}

export function badOption(name: string, value: string, action: string): LeadhandError {
  return new LeadhandError("usage/meter-option", {
    what: `The option ${name}=${value} of the meter address cannot be used.`,
    action,
  });
}
