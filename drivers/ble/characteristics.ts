import { LeadhandError } from "../../protocols/error.js";
import type { Characteristic, Service } from "./noble.js";

/** Which characteristics carry the meter's bytes; null: the only one there is. */
export interface Choice {
  readonly service: string | null;
  readonly notify: string | null;
  readonly write: string | null;
}

export interface Chosen {
  readonly notify: Characteristic;
  /** null where the meter only sends. */
  readonly write: Characteristic | null;
}

/** Services that every device has and no meter's reading comes through (Bluetooth SIG numbers). */
const HOUSEKEEPING = ["1800", "1801", "180a", "180f"];

/** A UUID as the stack writes it: lower case, no hyphens, a SIG number as its four digits. */
export function shortUuid(text: string): string {
  const plain = text.toLowerCase().replace(/-/g, "").replace(/^0x/, "");
  return /^0000([0-9a-f]{4})00001000800000805f9b34fb$/.exec(plain)?.[1] ?? plain;
}

/** Throws `meter/ble-characteristic` where there is none that fits, or more than one. */
export function choose(services: readonly Service[], choice: Choice): Chosen {
  const eligible = services.filter((service) =>
    choice.service === null
      ? !HOUSEKEEPING.includes(shortUuid(service.uuid))
      : shortUuid(service.uuid) === choice.service,
  );
  const all = eligible.flatMap((service) => service.characteristics);
  const notifying = all.filter((each) => can(each, "notify", "indicate"));
  const notify = only("notify", notifying, choice.notify);
  const writable = all.filter((each) => can(each, "write", "writeWithoutResponse"));
  if (choice.write !== null) return { notify, write: only("write", writable, choice.write) };
  return { notify, write: writable.length === 1 ? (writable[0] ?? null) : null };
}

function can({ properties }: Characteristic, ...wanted: string[]): boolean {
  return wanted.some((property) => properties.includes(property));
}

function only(what: string, all: readonly Characteristic[], uuid: string | null): Characteristic {
  const fitting = uuid === null ? all : all.filter((each) => shortUuid(each.uuid) === uuid);
  const [first] = fitting;
  if (first !== undefined && fitting.length === 1) return first;
  const names = all.map((each) => shortUuid(each.uuid));
  throw new LeadhandError("meter/ble-characteristic", {
    what:
      fitting.length > 1
        ? `The meter offers more than one channel to ${what}: ${names.join(", ")}.`
        : `The meter does not offer ${uuid ?? `any channel to ${what}`}.`,
    action:
      names.length === 0
        ? "Check that this is the meter; add service=… to its address where it has several."
        : `Add ${what}=… to the meter address; it offers ${names.join(", ")}.`,
  });
}
