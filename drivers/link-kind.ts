import type { LineSettings } from "../protocols/protocol.js";
import type { MeterAddress } from "./address.js";
import type { Clock } from "./clock.js";
import type { Link } from "./link.js";

/** What a link may use beside its address. */
interface LinkUse {
  readonly line: LineSettings;
  readonly clock: Clock;
}

/** Makes a fresh link for every attempt to connect; lives as long as its meter's session. */
export type LinkSource = () => Link;

/** Called once a meter; may throw a `LeadhandError` of area `usage` or `input`. */
export type LinkMaker = (address: MeterAddress, use: LinkUse) => LinkSource;

/** A way to connect, as the registry knows it. */
export interface LinkKind {
  readonly scheme: string;
  /** For a list on a screen: one line. */
  readonly title: string;
  /** Options of its addresses beside `protocol` and those of the protocol. */
  readonly options: readonly string[];
  /** Taken where the address names no protocol; null: the address must name one. */
  readonly protocol: string | null;
  /** A link whose far end can vanish without a sign: after a long silence, connect anew. */
  readonly vanishes: boolean;
  /** Imported only when an address asks for it: a missing binding costs this link alone. */
  load(): Promise<LinkMaker>;
}
