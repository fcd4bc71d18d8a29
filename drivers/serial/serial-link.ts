import { LeadhandError } from "../../protocols/error.js";
import type { LineSettings } from "../../protocols/protocol.js";
import { BaseLink, within } from "../base-link.js";
import type { Clock } from "../clock.js";
import type { LinkMaker } from "../link-kind.js";
import { deviceNodes } from "../device/node.js";
import type { DeviceNodes } from "../device/node.js";
import { PortMemory } from "./port-memory.js";
import { systemPorts } from "./serial-ports.js";
import type { OpenPort, SerialPorts } from "./serial-ports.js";
import { openTrouble, unplugged } from "../device/trouble.js";
import { watchDevice } from "../device/watch.js";

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
  #endWatch: () => void = () => undefined;

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
    if (node === null) return;
    const tools = { clock: this.clock, nodes: this.#outside.nodes };
    // Closing what is gone also ends the busy loop that serialport may be in.
    this.#endWatch = watchDevice(tools, path, node, () =>
      this.ended({ by: "unplugged", error: unplugged(path) }),
    );
  }

  protected async send(bytes: Uint8Array): Promise<void> {
    const port = this.#port;
    if (port === null) return;
    // A cable without its far end can hold a write back for ever (flow control, hung-up line).
    await within(this.clock, WRITE_MS, port.write(bytes), () => stuck(this.#memory.name));
  }

  protected async release(): Promise<void> {
    this.#endWatch();
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
}

function stuck(name: string): LeadhandError {
  return new LeadhandError("meter/stuck", {
    what: `The port ${name} took nothing that was sent for ${WRITE_MS / 1000} s.`,
    action: "Unplug the cable and plug it in again; it is connected anew by itself.",
  });
}
