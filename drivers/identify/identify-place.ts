import type { Protocol } from "../../protocols/protocol.js";
import { parseAddress } from "../address.js";
import { systemClock } from "../clock.js";
import type { Place } from "../inventory.js";
import type { LinkMaker } from "../link-kind.js";
import { identify } from "./identify.js";
import type { Found, Match } from "./identify.js";

/** Listens at a place of this computer. null: not done over the air. Rejects where it is closed. */
export async function identifyPlace(
  place: Place,
  protocols: Iterable<Protocol>,
): Promise<Found | null> {
  if (place.scheme === "ble") return null;
  const address = parseAddress(place.address);
  const maker = await makerOf(place.scheme);
  return identify({
    make: (line) => maker(address, { line, clock: systemClock })(),
    protocols,
    clock: systemClock,
    hasLine: hasLine(place),
  });
}

/** The meter address to use for what was found at a place. */
export function addressFor(place: Place, { protocol, line, fit }: Match): string {
  const { baud, frame, dtr, rts } = line;
  const usual = protocol.line;
  const settings = [
    ...(baud === usual.baud ? [] : [`baud=${baud}`]),
    ...(frame === usual.frame ? [] : [`frame=${frame}`]),
    ...(dtr === usual.dtr ? [] : [`dtr=${dtr ? "on" : "off"}`]),
    ...(rts === usual.rts ? [] : [`rts=${rts ? "on" : "off"}`]),
  ];
  const options = Object.entries(fit?.options ?? {}).map(([name, value]) => `${name}=${value}`);
  const needed = [...options, ...(hasLine(place) ? settings : [])];
  return `${place.lasting ?? place.address}?${[`protocol=${protocol.id}`, ...needed].join("&")}`;
}

function hasLine({ scheme }: Place): boolean {
  return scheme === "serial" || scheme === "hid";
}

async function makerOf(scheme: "serial" | "hid" | "usbtmc" | "tcp"): Promise<LinkMaker> {
  switch (scheme) {
    case "serial":
      return (await import("../serial/serial-link.js")).serialLinks;
    case "hid":
      return (await import("../hid/hid-link.js")).hidLinks;
    case "tcp":
      return (await import("../tcp-link.js")).tcpLinks;
    case "usbtmc":
      return (await import("../usbtmc-link.js")).usbtmcLinks;
  }
}
