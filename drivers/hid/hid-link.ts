import { LeadhandError } from "../../protocols/error.js";
import type { LineSettings } from "../../protocols/protocol.js";
import { badOption, choiceOf } from "../address.js";
import { BaseLink, within } from "../base-link.js";
import type { Clock } from "../clock.js";
import { deviceNodes } from "../device/node.js";
import type { DeviceNodes } from "../device/node.js";
import { absent, openTrouble, unplugged } from "../device/trouble.js";
import { watchDevice } from "../device/watch.js";
import type { LinkMaker } from "../link-kind.js";
import { systemHid } from "./hid-bus.js";
import type { HidBus, HidFound, OpenHid } from "./hid-bus.js";
import { BRIDGES, bridges } from "./reports.js";
import type { Bridge } from "./reports.js";

const OPERATION_MS = 3_000;

export interface HidOutside {
  readonly bus: HidBus;
  readonly nodes: DeviceNodes;
}

export const hidLinks = hidLinksOn({ bus: systemHid, nodes: deviceNodes });

/** `hid:VENDOR:PRODUCT[:SERIAL]` or `hid:/dev/hidrawN`. */
export function hidLinksOn(outside: HidOutside): LinkMaker {
  return (address, { line, clock }) => {
    const wanted = wantedOf(address.target);
    const bridge = bridges[choiceOf(address, "reports", BRIDGES) ?? "numbered"];
    return () => new HidLink({ name: address.target, wanted, bridge, line }, clock, outside);
  };
}

type Wanted = (device: HidFound) => boolean;

function wantedOf(target: string): Wanted {
  if (target.startsWith("/")) return (device) => device.path === target;
  const match = /^([0-9a-f]{4}):([0-9a-f]{4})(?::(.+))?$/i.exec(target);
  if (match === null) {
    throw badOption("hid", target, "Give vendor and product in hex, such as hid:1209:0001.");
  }
  const [, vendor, product, serial] = match;
  return (device) =>
    device.vendor === vendor?.toLowerCase() &&
    device.product === product?.toLowerCase() &&
    (serial === undefined || device.serial === serial);
}

interface HidTarget {
  readonly name: string;
  readonly wanted: Wanted;
  readonly bridge: Bridge;
  readonly line: LineSettings;
}

class HidLink extends BaseLink {
  readonly #target: HidTarget;
  readonly #outside: HidOutside;
  #device: OpenHid | null = null;
  #endWatch: () => void = () => undefined;

  constructor(target: HidTarget, clock: Clock, outside: HidOutside) {
    super(clock);
    this.#target = target;
    this.#outside = outside;
  }

  protected async connect(): Promise<void> {
    const { bridge, line } = this.#target;
    const path = await this.#find();
    const identity = await this.#look(path);
    const device = await this.#openDevice(path);
    this.#device = device;
    device.onReport = (report) => {
      const arrival_ns = this.clock.now_ns();
      const bytes = bridge.bytesOf(report);
      if (bytes.length > 0) this.deliver(bytes, arrival_ns);
    };
    device.onError = (error) => this.ended({ by: "unplugged", error: unplugged(path, error) });
    for (const report of bridge.setUp(line)) await this.#setUp(device, report);
    if (identity === null) return;
    const tools = { clock: this.clock, nodes: this.#outside.nodes };
    this.#endWatch = watchDevice(tools, path, identity, () =>
      this.ended({ by: "unplugged", error: unplugged(path) }),
    );
  }

  protected async send(bytes: Uint8Array): Promise<void> {
    for (const report of this.#target.bridge.reportsFor(bytes)) {
      const sent = this.#device?.write(report) ?? Promise.resolve();
      await within(this.clock, OPERATION_MS, sent, () => stuck(this.#target.name));
    }
  }

  protected async release(): Promise<void> {
    this.#endWatch();
    await this.#device?.close();
  }

  async #find(): Promise<string> {
    const { name, wanted } = this.#target;
    const found = (await this.#outside.bus.list()).filter(wanted);
    const paths = [...new Set(found.map((device) => device.path))];
    const [only] = paths;
    if (only === undefined) throw absent(`hid:${name}`, "not listed");
    if (paths.length === 1) return only;
    throw new LeadhandError("meter/ambiguous", {
      what: `More than one HID device could be ${name}: ${paths.join(", ")}.`,
      action: "Add the serial number to the meter address, or give the device file.",
    });
  }

  /** Only Linux has device files for HID; elsewhere the library alone must tell. */
  async #look(path: string): Promise<string | null> {
    if (!path.startsWith("/dev/")) return null;
    const { nodes } = this.#outside;
    const refusal = await nodes.refusal(path);
    if (refusal !== null) throw openTrouble(path, refusal, await nodes.owner(path));
    return nodes.identity(path);
  }

  async #openDevice(path: string): Promise<OpenHid> {
    try {
      return await this.#outside.bus.open(path);
    } catch (thrown) {
      if (thrown instanceof LeadhandError) throw thrown;
      throw openTrouble(path, String(thrown), await this.#outside.nodes.owner(path));
    }
  }

  /** A bridge that knows no such feature report keeps its own settings and may still work. */
  async #setUp(device: OpenHid, report: Uint8Array): Promise<void> {
    const done = device.setFeature(report).catch(() => undefined);
    await within(this.clock, OPERATION_MS, done, () => stuck(this.#target.name));
  }
}

function stuck(name: string): LeadhandError {
  return new LeadhandError("meter/stuck", {
    what: `The HID cable ${name} took nothing that was sent for ${OPERATION_MS / 1000} s.`,
    action: "Unplug the cable and plug it in again; it is connected anew by itself.",
  });
}
