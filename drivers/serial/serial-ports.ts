import type * as SerialPackage from "serialport";
import type { SerialPort } from "serialport";
import type { LineSettings } from "../../protocols/protocol.js";
import { splitFraming } from "../line-settings.js";
import { linuxPorts } from "./linux-ports.js";
import type { PortFound } from "./port-found.js";
import { missingPackage } from "../device/trouble.js";

/** An open port, cut down to what a link needs. */
export interface OpenPort {
  onData: (bytes: Uint8Array) => void;
  /** `null`: we closed it. */
  onClose: (error: Error | null) => void;
  setLines(lines: { dtr: boolean; rts: boolean }): Promise<void>;
  write(bytes: Uint8Array): Promise<void>;
  close(): Promise<void>;
}

/** The serial ports of a computer; injected, so that tests need none. */
export interface SerialPorts {
  list(): Promise<readonly PortFound[]>;
  open(path: string, line: LineSettings): Promise<OpenPort>;
}

/** The ports of this computer, through the serialport package. */
export const systemPorts: SerialPorts = {
  async list() {
    if (process.platform === "linux") return linuxPorts();
    const { SerialPort } = await loadPackage();
    const ports = await SerialPort.list();
    return ports.map((port) => ({
      path: port.path,
      vendor: port.vendorId?.toLowerCase() ?? null,
      product: port.productId?.toLowerCase() ?? null,
      serial: port.serialNumber ?? null,
      maker: port.manufacturer ?? null,
    }));
  },
  async open(path, line) {
    const { SerialPort } = await loadPackage();
    const settings = { path, baudRate: line.baud, ...splitFraming(line.frame) };
    // hupcl off: closing must not drop DTR, which resets some devices and powers some cables.
    const port = new SerialPort({ ...settings, hupcl: false, autoOpen: false });
    await callback((done) => port.open(done));
    return wrap(port);
  },
};

async function loadPackage(): Promise<typeof SerialPackage> {
  try {
    return await import("serialport");
  } catch (cause) {
    throw missingPackage("serial", "serialport", cause);
  }
}

function wrap(port: SerialPort): OpenPort {
  const open: OpenPort = {
    onData: () => undefined,
    onClose: () => undefined,
    setLines: (lines) => callback((done) => port.set(lines, done)),
    write: (bytes) =>
      callback((done) => void port.write(Buffer.from(bytes), (e) => done(e ?? null))),
    close: () => (port.isOpen ? callback((done) => port.close(done)) : Promise.resolve()),
  };
  port.on("data", (bytes: Buffer) => open.onData(bytes));
  port.on("close", (error: Error | null) => open.onClose(error));
  // Every error that ends the port is followed by "close"; without a listener Node would throw it.
  port.on("error", () => undefined);
  return open;
}

function callback(start: (done: (error: Error | null) => void) => void): Promise<void> {
  return new Promise((resolve, reject) => {
    start((error) => (error === null ? resolve() : reject(error)));
  });
}
