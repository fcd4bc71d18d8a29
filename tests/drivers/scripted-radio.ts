import { EventEmitter } from "node:events";
import makeWithBindings from "@abandonware/noble/with-bindings.js";
import type { Noble, RadioState } from "../../drivers/ble/noble.js";

export interface ScriptedMeter {
  readonly id: string;
  readonly address: string;
  readonly name: string;
  /** Service UUID → characteristic UUID → properties. */
  readonly services: Readonly<Record<string, Readonly<Record<string, readonly string[]>>>>;
}

/** What the radio leaves unanswered. */
export type Deaf = "connect" | "services" | "notify" | "write" | "disconnect" | "scan";

/**
 * Stands where noble's own bindings to the operating system stand: noble itself is the real one.
 * The test says which meters are in range, what they do, and what is never answered.
 */
export class ScriptedRadio extends EventEmitter {
  meters: ScriptedMeter[] = [];
  state: RadioState | null = "poweredOn";
  /** What starting the adapter throws, as where there is none. */
  startError: Error | null = null;
  readonly deaf = new Set<Deaf>();
  readonly calls: string[] = [];
  readonly written: number[] = [];
  #scanning = false;
  #linked = new Set<string>();
  #subscribed: { id: string; service: string; uuid: string } | null = null;

  readonly noble = (makeWithBindings as (bindings: unknown) => Noble)(this);

  init(): void {
    if (this.startError !== null) throw this.startError;
    if (this.state !== null) this.emit("stateChange", this.state);
  }

  get linked(): boolean {
    return this.#linked.size > 0;
  }

  /** The meter sends. */
  say(bytes: Uint8Array): void {
    const to = this.#subscribed;
    if (to !== null) this.emit("read", to.id, to.service, to.uuid, Buffer.from(bytes), true);
  }

  /** The meter goes. */
  drop(id: string, reason = 8): void {
    this.#linked.delete(id);
    this.#subscribed = null;
    this.emit("disconnect", id, reason);
  }

  startScanning(): void {
    this.calls.push("scan");
    if (this.deaf.has("scan")) return;
    this.#scanning = true;
    this.emit("scanStart", false);
    setImmediate(() => this.#advertise());
  }

  stopScanning(): void {
    this.#scanning = false;
    this.emit("scanStop");
  }

  connect(id: string): void {
    this.calls.push("connect");
    if (this.deaf.has("connect")) return;
    this.#linked.add(id);
    this.emit("connect", id, null);
  }

  cancelConnect(): void {
    this.calls.push("cancel");
  }

  disconnect(id: string): void {
    this.calls.push("disconnect");
    if (!this.deaf.has("disconnect") && this.#linked.has(id)) this.drop(id, 22);
  }

  discoverServices(id: string): void {
    if (this.deaf.has("services")) return;
    this.emit("servicesDiscover", id, Object.keys(this.#meter(id).services));
  }

  discoverCharacteristics(id: string, service: string): void {
    const all = Object.entries(this.#meter(id).services[service] ?? {});
    const found = all.map(([uuid, properties]) => ({ uuid, properties }));
    this.emit("characteristicsDiscover", id, service, found);
  }

  notify(id: string, service: string, uuid: string, on: boolean): void {
    this.calls.push(on ? `subscribe ${uuid}` : `unsubscribe ${uuid}`);
    if (this.deaf.has("notify")) return;
    this.#subscribed = on ? { id, service, uuid } : null;
    this.emit("notify", id, service, uuid, on);
  }

  write(id: string, service: string, uuid: string, bytes: Buffer, blind: boolean): void {
    this.calls.push(`write ${uuid}${blind ? " blind" : ""}`);
    if (this.deaf.has("write")) return;
    this.written.push(...bytes);
    this.emit("write", id, service, uuid);
  }

  #advertise(): void {
    if (!this.#scanning) return;
    for (const { id, address, name, services } of this.meters) {
      if (this.#linked.has(id)) continue;
      const advertisement = { localName: name, serviceUuids: Object.keys(services) };
      this.emit("discover", id, address, "public", true, advertisement, -60, true);
    }
    setTimeout(() => this.#advertise(), 20);
  }

  #meter(id: string): ScriptedMeter {
    const found = this.meters.find((meter) => meter.id === id);
    if (found === undefined) throw new Error(`no meter ${id}`);
    return found;
  }
}
