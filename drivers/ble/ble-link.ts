import { LeadhandError } from "../../protocols/error.js";
import { badOption } from "../address.js";
import type { MeterAddress } from "../address.js";
import { BaseLink, within } from "../base-link.js";
import type { Clock } from "../clock.js";
import type { LinkMaker } from "../link-kind.js";
import { choose, shortUuid } from "./characteristics.js";
import type { Choice } from "./characteristics.js";
import { systemNoble } from "./noble.js";
import type { Characteristic, MakeNoble, Peripheral } from "./noble.js";
import { Radio } from "./radio.js";
import type { Heard } from "./radio.js";

const SCAN_MS = 10_000;
const CONNECT_MS = 10_000;
const DISCOVER_MS = 10_000;
const OPERATION_MS = 5_000;
const DISCONNECT_MS = 1_500;

export const bleLinks = bleLinksOn(systemNoble);

/** Links over one radio; `ble:AA:BB:CC:DD:EE:FF` or the name that the meter gives itself. */
export function bleLinksOn(makeNoble: MakeNoble): LinkMaker {
  let radio: Radio | null = null;
  return (address, { clock }) => {
    const target = targetOf(address);
    radio ??= new Radio(makeNoble, clock);
    const shared = radio;
    return () => new BleLink(target, shared, clock);
  };
}

interface BleTarget {
  readonly name: string;
  readonly choice: Choice;
}

function targetOf({ target, options }: MeterAddress): BleTarget {
  if (target === "") {
    throw badOption("ble", target, "Give the meter's address or name, such as ble:METER.");
  }
  const uuid = (name: string): string | null => {
    const text = options.get(name);
    return text === undefined ? null : shortUuid(text);
  };
  const choice = { service: uuid("service"), notify: uuid("notify"), write: uuid("write") };
  return { name: target, choice };
}

function isWanted(name: string, { id, address, name: own }: Heard): boolean {
  const wanted = name.toUpperCase();
  return address === wanted || id.toUpperCase() === wanted || own?.toUpperCase() === wanted;
}

/** A serial line or characteristic over Bluetooth LE. Every operation has a deadline of its own. */
class BleLink extends BaseLink {
  readonly #target: BleTarget;
  readonly #radio: Radio;
  #peripheral: Peripheral | null = null;
  #notify: Characteristic | null = null;
  #write: Characteristic | null = null;
  /** Rejects when the far end is gone; operations of the stack then never answer. */
  #gone: Promise<never> = new Promise(() => undefined);

  constructor(target: BleTarget, radio: Radio, clock: Clock) {
    super(clock);
    this.#target = target;
    this.#radio = radio;
  }

  protected async connect(): Promise<void> {
    const peripheral = await this.#radio.exclusively(() => this.#reach());
    const found = peripheral.discoverAllServicesAndCharacteristicsAsync();
    const { services } = await this.#doing("to list its services", DISCOVER_MS, found);
    const { notify, write } = choose(services, this.#target.choice);
    this.#notify = notify;
    this.#write = write;
    notify.on("data", (bytes) => this.deliver(Uint8Array.from(bytes)));
    await this.#doing("to subscribe", OPERATION_MS, notify.subscribeAsync());
  }

  protected async send(bytes: Uint8Array): Promise<void> {
    const write = this.#write;
    if (write === null) throw onlySends(this.#target.name);
    const blind = !write.properties.includes("write");
    const sent = write.writeAsync(Buffer.from(bytes), blind);
    await this.#doing("to take what was sent", OPERATION_MS, sent);
  }

  protected async release(): Promise<void> {
    this.#notify?.removeAllListeners();
    const peripheral = this.#peripheral;
    if (peripheral?.state !== "connected") return;
    const done = peripheral.disconnectAsync();
    await within(this.clock, DISCONNECT_MS, done, () => late("to hang up", this.#target.name));
  }

  async #reach(): Promise<Peripheral> {
    const { name } = this.#target;
    const peripheral = await this.#radio.scan(SCAN_MS, (who) => isWanted(name, who));
    if (peripheral === null) throw notHeard(name);
    this.#peripheral = peripheral;
    peripheral.removeAllListeners();
    try {
      await this.#doing("to connect", CONNECT_MS, peripheral.connectAsync());
    } catch (thrown) {
      peripheral.cancelConnect();
      throw thrown;
    }
    this.#gone = new Promise((_, reject) => {
      peripheral.once("disconnect", (reason) => {
        const error = disconnected(name, reason);
        reject(error);
        this.ended({ by: "peer", error });
      });
    });
    // It may reject while nobody waits for an operation.
    this.#gone.catch(() => undefined);
    return peripheral;
  }

  async #doing<T>(what: string, limit_ms: number, work: Promise<T>): Promise<T> {
    try {
      const either = Promise.race([work, this.#gone]);
      return await within(this.clock, limit_ms, either, () => late(what, this.#target.name));
    } catch (thrown) {
      if (thrown instanceof LeadhandError) throw thrown;
      throw late(what, this.#target.name, thrown);
    }
  }
}

function notHeard(name: string): LeadhandError {
  return new LeadhandError("meter/absent", {
    what: `No meter "${name}" was heard over Bluetooth in ${SCAN_MS / 1000} s.`,
    action: "Switch the meter and its Bluetooth on, bring it near, and end its link to a phone.",
  });
}

function late(what: string, name: string, cause?: unknown): LeadhandError {
  const why = cause instanceof Error ? ` (${cause.message})` : "";
  return new LeadhandError("meter/bluetooth-late", {
    what: `The meter "${name}" failed ${what}${why}.`,
    action: "Bring it nearer, or switch it off and on; it is connected anew by itself.",
    cause,
  });
}

function disconnected(name: string, reason: unknown): LeadhandError {
  return new LeadhandError("meter/dropped", {
    what: `The Bluetooth connection to "${name}" ended${typeof reason === "number" ? ` (reason ${reason})` : ""}.`,
    action: "Check that the meter is on and in range; it is connected anew by itself.",
    cause: reason,
  });
}

function onlySends(name: string): LeadhandError {
  return new LeadhandError("meter/ble-characteristic", {
    what: `The meter "${name}" offers no one channel to write to.`,
    action: "Add write=… to the meter address, with the characteristic that takes commands.",
  });
}
