import { readdir } from "node:fs/promises";
import { LeadhandError, toLeadhandError } from "../protocols/error.js";
import { formatAddress, parseAddress } from "./address.js";
import { systemNoble } from "./ble/noble.js";
import { Radio } from "./ble/radio.js";
import type { Heard } from "./ble/radio.js";
import { systemClock } from "./clock.js";
import { systemHid } from "./hid/hid-bus.js";
import { systemPorts } from "./serial/serial-ports.js";

/** Something on this computer that a meter may be behind. */
export interface Place {
  readonly scheme: "serial" | "hid" | "usbtmc" | "ble" | "tcp";
  /** A meter address without its options. */
  readonly address: string;
  /** What it says it is: maker, product, name. */
  readonly title: string;
  /** The address that stays right when the port's name changes; null where there is none. */
  readonly lasting: string | null;
}

export interface Inventory {
  readonly places: readonly Place[];
  /** Kinds that could not be looked for, each with what to do. */
  readonly troubles: readonly LeadhandError[];
}

const SURVEY_MS = 4_000;

const surveys: readonly (() => Promise<Place[]>)[] = [serialPlaces, hidPlaces, usbtmcPlaces];

/** Ports, and radios where `radio` is asked for (takes some seconds). Rejects never. */
export async function inventory({ radio }: { radio: boolean }): Promise<Inventory> {
  const wanted = radio ? [...surveys, blePlaces] : surveys;
  const places: Place[] = [];
  const troubles: LeadhandError[] = [];
  for (const result of await Promise.allSettled(wanted.map((survey) => survey()))) {
    if (result.status === "fulfilled") places.push(...result.value);
    else troubles.push(toLeadhandError(result.reason));
  }
  return { places, troubles };
}

/** A place that a person named; throws `usage/meter-kind` where there is nothing to listen at. */
export function placeNamed(text: string): Place {
  const { scheme, target } = parseAddress(text);
  const known = (["serial", "hid", "usbtmc", "ble", "tcp"] as const).find(
    (each) => each === scheme,
  );
  if (known !== undefined) {
    return { scheme: known, address: toAddress(known, target), title: "", lasting: null };
  }
  throw new LeadhandError("usage/meter-kind", {
    what: `There is nothing to listen at behind "${text}".`,
    action: "Name a serial:, hid:, usbtmc: or tcp: address.",
  });
}

async function serialPlaces(): Promise<Place[]> {
  const ports = await systemPorts.list();
  return ports.map(({ path, vendor, product, serial, maker }) => {
    const device = vendor === null || product === null ? null : `usb:${vendor}:${product}`;
    const lasting =
      device === null ? null : `serial:${device}${serial === null ? "" : `:${serial}`}`;
    return { scheme: "serial", address: toAddress("serial", path), title: maker ?? "", lasting };
  });
}

async function hidPlaces(): Promise<Place[]> {
  const devices = await systemHid.list();
  const bridges = devices.filter((device) => device.isVendors);
  return bridges.map(({ path, vendor, product, serial, name }) => {
    const lasting = `hid:${vendor}:${product}${serial === null ? "" : `:${serial}`}`;
    const address = path.startsWith("/") ? toAddress("hid", path) : lasting;
    return { scheme: "hid", address, title: name ?? "", lasting };
  });
}

async function usbtmcPlaces(): Promise<Place[]> {
  const names = await readdir("/dev").catch(() => []);
  const instruments = names.filter((name) => /^usbtmc\d+$/.test(name));
  return instruments.map((name) => ({
    scheme: "usbtmc",
    address: toAddress("usbtmc", `/dev/${name}`),
    title: "instrument on USB",
    lasting: null,
  }));
}

async function blePlaces(): Promise<Place[]> {
  const heard = new Map<string, Heard>();
  const radio = new Radio(systemNoble, systemClock);
  await radio.scan(SURVEY_MS, (who) => {
    const before = heard.get(who.id);
    heard.set(who.id, { ...who, name: who.name ?? before?.name ?? null });
    return false;
  });
  return [...heard.values()].map(({ id, address, name, rssi, services }) => ({
    scheme: "ble",
    address: toAddress("ble", address === "" ? id : address),
    title: [name ?? "unnamed", `${rssi} dBm`, ...services].join(", "),
    lasting: name === null ? null : toAddress("ble", name),
  }));
}

function toAddress(scheme: string, target: string): string {
  return formatAddress({ scheme, target, options: new Map() });
}
