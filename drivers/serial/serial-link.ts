import { LeadhandError } from "../../protocols/error.js";
import type { LineSettings } from "../../protocols/protocol.js";
import { BaseLink, within } from "../base-link.js";
import type { Clock } from "../clock.js";
import type { LinkMaker } from "../link-kind.js";
import { deviceNodes } from "./device-node.js";
import type { DeviceNodes } from "./device-node.js";
import { PortMemory } from "./port-memory.js";
import { systemPorts } from "./serial-ports.js";
import type { OpenPort, SerialPorts } from "./serial-ports.js";
import { openTrouble } from "./serial-trouble.js";

/** How often an open port's device file is looked at. */
const WATCH_MS = 250;
const WRITE_MS = 5_000;

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

class SerialLink extends BaseLink {
  readonly #memory: PortMemory;
  readonly #line: LineSettings;
  readonly #outside: SerialOutside;
  #port: OpenPort | null = null;
  #released = false;
  #cancelWatch: () => void = () => undefined;

  constructor(memory: PortMemory, line: LineSettings, clock: Clock, outside: SerialOutside) {
    super(clock);
    this.#memory = memory;
    this.#line = line;
    this.#outside = outside;
  }

  protected async connect(): Promise<void> {
    const path = await this.#memory.find();
    const node = await this.#look(path);
    const port = await this.#openPort(path);
    this.#port = port;
    // What arrives while the lines are being set is already evidence.
    port.onData = (bytes) => this.deliver(bytes);
    port.onClose = (error) =>
      this.ended(
        error === null ? { by: "us" } : { by: "unplugged", error: unplugged(path, error) },
      );
    await this.#setLines(port);
    void this.#memory.remember(path);
    if (node !== null) this.#watch(path, node);
  }

  protected async send(bytes: Uint8Array): Promise<void> {
    const port = this.#port;
    if (port === null) return;
    // A cable without its far end can hold a write back for ever (flow control, hung-up line).
    await within(this.clock, WRITE_MS, port.write(bytes), () => stuck(this.#memory.name));
  }

  protected async release(): Promise<void> {
    this.#released = true;
    this.#cancelWatch();
    await this.#port?.close();
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
      if (thrown instanceof Error && /inappropriate ioctl|cannot set/i.test(thrown.message)) return;
      throw thrown;
    }
  }

  /**
   * serialport 13 can miss an unplug for ever (its read loop takes the 0 bytes of a hung-up line
   * for "try again"), so the device file is looked at as well. Closing ends that loop.
   */
  #watch(path: string, node: string): void {
    this.#cancelWatch = this.clock.after(WATCH_MS, () => {
      void this.#outside.nodes.identity(path).then((now) => {
        if (this.#released) return;
        if (now === node) this.#watch(path, node);
        else this.ended({ by: "unplugged", error: unplugged(path) });
      });
    });
  }
}

function unplugged(path: string, cause?: Error): LeadhandError {
  return new LeadhandError("meter/unplugged", {
    what: `The cable at ${path} was unplugged, or its adapter dropped out.`,
    action: "Plug it in again; the job goes on by itself.",
    cause,
  });
}

function stuck(name: string): LeadhandError {
  return new LeadhandError("meter/stuck", {
    what: `The port ${name} took nothing that was sent for ${WRITE_MS / 1000} s.`,
    action: "Unplug the cable and plug it in again; it is connected anew by itself.",
  });
}
