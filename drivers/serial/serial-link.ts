import { LeadhandError } from "../../protocols/error.js";
import type { LineSettings } from "../../protocols/protocol.js";
import type { Clock } from "../clock.js";
import type { LinkMaker } from "../link-kind.js";
import type { Closed, Link } from "../link.js";
import { deviceNodes } from "./device-node.js";
import type { DeviceNodes } from "./device-node.js";
import { PortMemory } from "./port-memory.js";
import { systemPorts } from "./serial-ports.js";
import type { OpenPort, SerialPorts } from "./serial-ports.js";
import { absent, openTrouble } from "./serial-trouble.js";

/** How often an open port's device file is looked at, ms. */
const WATCH_MS = 250;

export interface SerialOutside {
  readonly ports: SerialPorts;
  readonly nodes: DeviceNodes;
}

export const serialLinks = serialLinksOn({ ports: systemPorts, nodes: deviceNodes });

/** Serial links over any ports; the program uses `serialLinks`. */
export function serialLinksOn(outside: SerialOutside): LinkMaker {
  return (address, { line, clock }) => {
    const memory = new PortMemory(address.target, outside.ports);
    return () => new SerialLink(memory, line, clock, outside);
  };
}

class SerialLink implements Link {
  onChunk: Link["onChunk"] = () => undefined;
  onClosed: Link["onClosed"] = () => undefined;
  readonly #memory: PortMemory;
  readonly #line: LineSettings;
  readonly #clock: Clock;
  readonly #outside: SerialOutside;
  #port: OpenPort | null = null;
  #cancelWatch: () => void = () => undefined;
  #ended = false;

  constructor(memory: PortMemory, line: LineSettings, clock: Clock, outside: SerialOutside) {
    this.#memory = memory;
    this.#line = line;
    this.#clock = clock;
    this.#outside = outside;
  }

  async open(): Promise<void> {
    const path = await this.#memory.find();
    const node = await this.#look(path);
    const port = await this.#openPort(path);
    // What arrives while the lines are being set is already evidence.
    port.onData = (bytes) => this.#deliver(bytes);
    port.onClose = (error) => this.#closedBy(path, error);
    this.#port = port;
    await this.#setLines(port);
    if (this.#ended) await this.#tooLate(port, path);
    void this.#memory.remember(path);
    if (node !== null) this.#watch(path, node);
  }

  /** Closed while it was still opening: nothing may stay open behind the caller's back. */
  async #tooLate(port: OpenPort, path: string): Promise<never> {
    await port.close();
    throw absent(path, "closed while opening");
  }

  async write(bytes: Uint8Array): Promise<void> {
    if (this.#port === null || this.#ended) throw absent(this.#memory.name, "write after the end");
    await this.#port.write(bytes);
  }

  async close(): Promise<void> {
    const port = this.#port;
    this.#end({ by: "us" });
    await port?.close();
  }

  #deliver(bytes: Uint8Array): void {
    const arrival_ns = this.#clock.now_ns();
    if (!this.#ended) this.onChunk({ bytes, arrival_ns });
  }

  /** Null where ports have no device file (Windows): the library alone must tell then. */
  async #look(path: string): Promise<string | null> {
    if (!path.startsWith("/")) return null;
    const refusal = await this.#outside.nodes.refusal(path);
    if (refusal !== null) throw openTrouble(path, refusal, await this.#outside.nodes.owner(path));
    return this.#outside.nodes.identity(path);
  }

  async #openPort(path: string): Promise<OpenPort> {
    try {
      return await this.#outside.ports.open(path, this.#line);
    } catch (thrown) {
      if (thrown instanceof LeadhandError) throw thrown;
      const message = thrown instanceof Error ? thrown.message : String(thrown);
      throw openTrouble(path, message, await this.#outside.nodes.owner(path));
    }
  }

  async #setLines(port: OpenPort): Promise<void> {
    try {
      await port.setLines({ dtr: this.#line.dtr, rts: this.#line.rts });
    } catch (thrown) {
      // A pseudo-terminal has no such lines, and a port without them can still carry bytes.
      if (!(thrown instanceof Error) || !/inappropriate ioctl|cannot set/i.test(thrown.message)) {
        throw thrown;
      }
    }
  }

  /**
   * serialport 13 can miss an unplug for ever (its read loop takes the 0 bytes of a hung-up line
   * for "try again"), so the device file is looked at as well.
   */
  #watch(path: string, node: string): void {
    this.#cancelWatch = this.#clock.after(WATCH_MS, () => {
      void this.#outside.nodes.identity(path).then((now) => {
        if (this.#ended) return;
        if (now === node) this.#watch(path, node);
        else this.#gone(path);
      });
    });
  }

  #gone(path: string): void {
    const port = this.#port;
    this.#end({ by: "unplugged", error: unplugged(path) });
    // Ends the library's busy loop; that this can fail on a dead descriptor no longer matters.
    void port?.close().catch(() => undefined);
  }

  #closedBy(path: string, error: Error | null): void {
    this.#end(error === null ? { by: "us" } : { by: "unplugged", error: unplugged(path, error) });
  }

  #end(closed: Closed): void {
    if (this.#ended) return;
    this.#ended = true;
    this.#cancelWatch();
    if (this.#port !== null) this.onClosed(closed);
  }
}

function unplugged(path: string, cause?: Error): LeadhandError {
  return new LeadhandError("meter/unplugged", {
    what: `The cable at ${path} was unplugged, or its adapter dropped out.`,
    action: "Plug it in again; the job goes on by itself.",
    cause,
  });
}
