import { LeadhandError } from "../../protocols/error.js";
import type { PortFound } from "./port-found.js";
import type { SerialPorts } from "./serial-ports.js";
import { absent } from "../device/trouble.js";

/** `usb:VENDOR:PRODUCT[:SERIAL]`: the device itself, whatever port it comes up as. */
const BY_IDENTITY = /^usb:([0-9a-f]{4}):([0-9a-f]{4})(?::(.+))?$/i;

/**
 * Which port a meter is on. A port's name changes (COM7 becomes COM8, ttyUSB0 becomes ttyUSB1
 * while a dead handle is still open), the cable's vendor, product and serial numbers do not: they
 * are remembered once it was open, and looked for when the name is gone.
 */
export class PortMemory {
  readonly name: string;
  readonly #ports: SerialPorts;
  #device: PortFound | null = null;

  constructor(target: string, ports: SerialPorts) {
    this.name = target;
    this.#ports = ports;
  }

  /** The path to open now; throws `meter/absent` or `meter/ambiguous`. */
  async find(): Promise<string> {
    const wanted = BY_IDENTITY.exec(this.name);
    const device = this.#device ?? (wanted === null ? null : asDevice(wanted));
    if (device === null) return this.name;
    const here = await this.#ports.list().catch(() => []);
    const matches = here.filter((port) => isSame(port, device));
    const [only] = matches;
    if (matches.some((port) => port.path === this.name)) return this.name;
    if (only === undefined) return this.#named(wanted !== null);
    if (matches.length === 1) return only.path;
    throw ambiguous(this.name, matches);
  }

  /** The device at `path` is the meter's: what to look for when the name is gone. */
  async remember(path: string): Promise<void> {
    const here = await this.#ports.list().catch(() => []);
    const found = here.find((port) => port.path === path && port.vendor !== null);
    this.#device = found ?? this.#device;
  }

  #named(byIdentity: boolean): string {
    if (byIdentity) throw absent(this.name, "no port with this identity");
    return this.name;
  }
}

function asDevice(match: RegExpExecArray): PortFound {
  const [, vendor = "", product = "", serial] = match;
  return {
    path: "",
    vendor: vendor.toLowerCase(),
    product: product.toLowerCase(),
    serial: serial ?? null,
    maker: null,
  };
}

function isSame(port: PortFound, device: PortFound): boolean {
  const kind = port.vendor === device.vendor && port.product === device.product;
  return kind && (device.serial === null || port.serial === device.serial);
}

function ambiguous(name: string, ports: readonly PortFound[]): LeadhandError {
  return new LeadhandError("meter/ambiguous", {
    what: `More than one port could be ${name}: ${ports.map((port) => port.path).join(", ")}.`,
    action: "Unplug all but the meter's cable, or give the port itself in the meter address.",
  });
}
