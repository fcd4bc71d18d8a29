import type { DeviceNodes } from "../../drivers/device/node.js";
import type { PortFound } from "../../drivers/serial/port-found.js";
import type { OpenPort, SerialPorts } from "../../drivers/serial/serial-ports.js";
import type { NodeOwner } from "../../drivers/device/trouble.js";
import type { LineSettings } from "../../protocols/protocol.js";

/** A port that a test plugs in, opens and takes away. */
export class ScriptedPort implements OpenPort {
  onData: OpenPort["onData"] = () => undefined;
  onClose: OpenPort["onClose"] = () => undefined;
  lines: { dtr: boolean; rts: boolean } | null = null;
  closed = 0;
  failLines: Error | null = null;

  setLines(lines: { dtr: boolean; rts: boolean }): Promise<void> {
    this.lines = lines;
    return this.failLines === null ? Promise.resolve() : Promise.reject(this.failLines);
  }

  write(): Promise<void> {
    return Promise.resolve();
  }

  close(): Promise<void> {
    this.closed += 1;
    return Promise.resolve();
  }
}

/** A computer with serial ports: what is plugged in, who owns it, what opening says. */
export class ScriptedComputer implements SerialPorts, DeviceNodes {
  plugged: PortFound[] = [];
  readonly opened: { path: string; line: LineSettings; port: ScriptedPort }[] = [];
  refusalWord: string | null = null;
  nodeOwner: NodeOwner | null = null;
  openError: Error | null = null;
  linesError: Error | null = null;
  /** Counts up where a device is replaced under its name. */
  replaced = 0;

  plug(path: string, serial: string | null = "A1", product = "6001"): PortFound {
    const port = { path, vendor: "0403", product, serial, maker: null };
    this.plugged.push(port);
    return port;
  }

  unplugAll(): void {
    this.plugged = [];
  }

  list(): Promise<readonly PortFound[]> {
    return Promise.resolve(this.plugged);
  }

  open(path: string, line: LineSettings): Promise<ScriptedPort> {
    if (this.openError !== null) return Promise.reject(this.openError);
    const port = new ScriptedPort();
    port.failLines = this.linesError;
    this.opened.push({ path, line, port });
    return Promise.resolve(port);
  }

  identity(path: string): Promise<string | null> {
    const here = this.plugged.some((port) => port.path === path);
    return Promise.resolve(here ? `${path} ${this.replaced}` : null);
  }

  refusal(path: string): Promise<string | null> {
    if (this.refusalWord !== null) return Promise.resolve(this.refusalWord);
    return Promise.resolve(this.plugged.some((port) => port.path === path) ? null : "ENOENT");
  }

  owner(): Promise<NodeOwner | null> {
    return Promise.resolve(this.nodeOwner);
  }
}
