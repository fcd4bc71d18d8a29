import { LeadhandError } from "../protocols/error.js";
import type { Protocol, ProtocolOptions } from "../protocols/protocol.js";
import { formatAddress, parseAddress, refuseUnknown } from "./address.js";
import type { MeterAddress } from "./address.js";
import type { Clock } from "./clock.js";
import { suggestion } from "./identify/suggest.js";
import { LINE_OPTIONS, lineSettings } from "./line-settings.js";
import type { LinkKind, LinkSource } from "./link-kind.js";
import { nearest } from "./nearest.js";

/** Alone, beside live meters; a run on recordings alone plays them together (recorded/playback.ts). */
export const recordedKind: LinkKind = {
  scheme: "recorded",
  title: "a recording, as if it were a meter",
  options: ["channel", "pace"],
  protocol: null,
  vanishes: false,
  load: async () => (await import("./recorded/recorded-link.js")).recordedLinks,
};

/** One line a link. */
const kinds: readonly LinkKind[] = [
  {
    scheme: "serial",
    title: "serial port, or a USB cable that is one",
    options: LINE_OPTIONS,
    protocol: null,
    vanishes: false,
    load: async () => (await import("./serial/serial-link.js")).serialLinks,
  },
  {
    scheme: "tcp",
    title: "instrument on the network",
    options: [],
    protocol: "scpi",
    vanishes: true,
    load: async () => (await import("./tcp-link.js")).tcpLinks,
  },
  {
    scheme: "ble",
    title: "Bluetooth Low Energy",
    options: ["service", "notify", "write"],
    protocol: null,
    vanishes: true,
    load: async () => (await import("./ble/ble-link.js")).bleLinks,
  },
  {
    scheme: "hid",
    title: "USB cable that carries a serial line in HID reports",
    options: ["reports", ...LINE_OPTIONS],
    protocol: null,
    vanishes: false,
    load: async () => (await import("./hid/hid-link.js")).hidLinks,
  },
  {
    scheme: "usbtmc",
    title: "bench instrument on USB (Linux)",
    options: [],
    protocol: "scpi",
    vanishes: false,
    load: async () => (await import("./usbtmc-link.js")).usbtmcLinks,
  },
  recordedKind,
];

/** A meter that an address names, checked, and not yet touched. */
export interface ChosenMeter {
  readonly address: MeterAddress;
  /** What people call it: the address without its options. */
  readonly title: string;
  readonly protocol: Protocol;
  readonly protocolOptions: ProtocolOptions;
  readonly vanishes: boolean;
  /** What to do about bytes that are no frame of the protocol, where another one fits. */
  suggest(bytes: Uint8Array): string | null;
  source(clock: Clock): Promise<LinkSource>;
}

export interface Known {
  /** Finds a protocol by id; throws `usage/protocol` where there is none. */
  readonly protocol: (id: string) => Protocol;
  /** Protocols to look among when a meter's bytes do not fit the one that was named. */
  readonly all?: Iterable<Protocol>;
  /** Links composed in by the caller, such as the practice bench; they come before the usual ones. */
  readonly links?: readonly LinkKind[];
}

/** Reads and checks a meter address; throws a `LeadhandError` of area `usage`. */
export function chooseMeter(text: string, known: Known): ChosenMeter {
  const address = parseAddress(text);
  const kind = kindOf(address, [...(known.links ?? []), ...kinds]);
  const protocol = known.protocol(protocolId(address, kind));
  const own = protocol.options ?? [];
  refuseUnknown(address, ["protocol", ...kind.options, ...own]);
  const line = lineSettings(address, protocol.line);
  return {
    address,
    title: formatAddress({ ...address, options: new Map() }),
    protocol,
    protocolOptions: Object.fromEntries(
      [...address.options].filter(([name]) => own.includes(name)),
    ),
    vanishes: kind.vanishes,
    suggest: (bytes) => suggestion(bytes, known.all ?? []),
    source: async (clock) => (await kind.load())(address, { line, clock }),
  };
}

function kindOf(address: MeterAddress, all: readonly LinkKind[]): LinkKind {
  const found = all.find((kind) => kind.scheme === address.scheme);
  if (found !== undefined) return found;
  const schemes = all.map((kind) => kind.scheme);
  const guess = nearest(address.scheme, schemes);
  throw new LeadhandError("usage/meter-kind", {
    what: `"${address.scheme}:" is no way to connect a meter.`,
    action: guess === null ? `Known: ${schemes.join(", ")}.` : `Did you mean "${guess}:"?`,
  });
}

function protocolId(address: MeterAddress, kind: LinkKind): string {
  const id = address.options.get("protocol") ?? kind.protocol;
  if (id !== null) return id;
  throw new LeadhandError("usage/meter-protocol", {
    what: `The meter address ${formatAddress(address)} does not say what the meter speaks.`,
    action: 'Add ?protocol=…; "leadhand meters --identify" finds out which.',
  });
}
