import type { LineSettings, Protocol } from "../../protocols/protocol.js";
import type { Clock } from "../clock.js";
import type { Link } from "../link.js";
import { fitsOf } from "./fit.js";
import type { Fit } from "./fit.js";
import { listen } from "./listen.js";
import { settingsToTry } from "./settings.js";
import type { Setting } from "./settings.js";

/** A meter at 2 readings a second has sent three whole frames by then. */
const LISTEN_MS = 2_500;
/** Whoever sends by itself is heard within this, at whatever speed. */
const SILENT_MS = 1_500;
const ANSWER_MS = 1_500;
/** IEEE 488.2, 10.14: identification, a query that changes nothing. */
const WHO_ARE_YOU = new TextEncoder().encode("*IDN?\n");

export interface Match {
  readonly protocol: Protocol;
  readonly line: LineSettings;
  /** Valid frames of the bytes heard; null for one that had to be asked. */
  readonly fit: Fit | null;
  /** What it says it is, where it was asked. */
  readonly says: string | null;
}

export type Found =
  | { readonly kind: "speaks"; readonly match: Match }
  /** More than one protocol explains what was heard: a person must decide. */
  | { readonly kind: "ambiguous"; readonly matches: readonly Match[] }
  /** Bytes, and nothing known explains them. */
  | { readonly kind: "unknown"; readonly bytes: number }
  | { readonly kind: "silent" };

export interface Unknown {
  /** A fresh link with these settings. */
  readonly make: (line: LineSettings) => Link;
  readonly protocols: Iterable<Protocol>;
  readonly clock: Clock;
  /** false: settings have no meaning on this link (network, USBTMC): one try is enough. */
  readonly hasLine: boolean;
}

/** Listens, and asks where nothing comes by itself. Rejects where the link does not open. */
export async function identify(unknown: Unknown): Promise<Found> {
  const all = [...unknown.protocols];
  const sending = all.filter((protocol) => protocol.createDialogue === undefined);
  const settings = settingsToTry(sending).slice(0, unknown.hasLine ? undefined : 1);
  const heard = await hears(unknown, settings);
  if (heard) return listenAll(unknown, settings);
  const asked = all.filter((protocol) => protocol.createDialogue !== undefined);
  return asked.length === 0 ? { kind: "silent" } : ask(unknown, asked);
}

/** Whether anything comes by itself: tried once for each way of powering the cable. */
async function hears(unknown: Unknown, settings: readonly Setting[]): Promise<boolean> {
  const supplies = new Map(settings.map((each) => [`${each.line.dtr} ${each.line.rts}`, each]));
  for (const { line } of supplies.values()) {
    const enough = (bytes: Uint8Array): boolean => bytes.length > 0;
    const bytes = await listen(unknown.make(line), unknown.clock, { limit_ms: SILENT_MS, enough });
    if (bytes.length > 0) return true;
  }
  return false;
}

async function listenAll(unknown: Unknown, settings: readonly Setting[]): Promise<Found> {
  let most = 0;
  for (const { line, protocols } of settings) {
    const enough = (bytes: Uint8Array): boolean => fitsOf(bytes, protocols).length > 0;
    const bytes = await listen(unknown.make(line), unknown.clock, { limit_ms: LISTEN_MS, enough });
    most = Math.max(most, bytes.length);
    const matches = fitsOf(bytes, protocols).map((fit) => toMatch(fit, line));
    const [match] = matches;
    if (match === undefined) continue;
    return matches.length === 1 ? { kind: "speaks", match } : { kind: "ambiguous", matches };
  }
  return { kind: "unknown", bytes: most };
}

async function ask(unknown: Unknown, asked: readonly Protocol[]): Promise<Found> {
  let most = 0;
  for (const { line } of settingsToTry(asked).slice(0, unknown.hasLine ? undefined : 1)) {
    const bytes = await listen(unknown.make(line), unknown.clock, {
      limit_ms: ANSWER_MS,
      ask: WHO_ARE_YOU,
      enough: (heard) => identification(heard) !== null,
    });
    most = Math.max(most, bytes.length);
    const says = identification(bytes);
    const [protocol] = asked;
    if (says === null || protocol === undefined) continue;
    return { kind: "speaks", match: { protocol, line, fit: null, says } };
  }
  return most === 0 ? { kind: "silent" } : { kind: "unknown", bytes: most };
}

/** Four fields with commas between, in printable ASCII, on one line (IEEE 488.2, 10.14.3). */
function identification(bytes: Uint8Array): string | null {
  const text = new TextDecoder("latin1").decode(bytes);
  return /^([ -~]*,[ -~]*,[ -~]*,[ -~]*)\r?\n/m.exec(text)?.[1]?.trim() ?? null;
}

function toMatch(fit: Fit, line: LineSettings): Match {
  return { protocol: fit.protocol, line, fit, says: null };
}
