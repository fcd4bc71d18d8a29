import { readFile, readdir, realpath } from "node:fs/promises";
import { dirname, join } from "node:path";
import type { PortFound } from "./port-found.js";

/** How far above a port its USB device is looked for: port, interface, device. */
const LEVELS = 4;

/** The screens that Linux itself gives by the dozen: no cable has these names. */
const SCREEN = /^(?:tty\d*|console|ptmx)$/;

/**
 * The ports of a Linux computer as the kernel lists them. The serialport package asks udevadm,
 * which costs a process each time and lags behind the kernel just when a cable was plugged in.
 */
export async function linuxPorts(root = "/"): Promise<readonly PortFound[]> {
  const classFolder = join(root, "sys/class/tty");
  const names = await readdir(classFolder).catch(() => []);
  const possible = names.filter((name) => !SCREEN.test(name)).sort();
  const found = await Promise.all(possible.map((name) => portAt(join(classFolder, name), name)));
  return found.filter((port) => port !== null);
}

async function portAt(folder: string, name: string): Promise<PortFound | null> {
  const device = await realpath(join(folder, "device")).catch(() => null);
  // A terminal without a device is no port; a UART of type 0 is a socket without a chip.
  if (device === null || (await textOf(join(folder, "type"))) === "0") return null;
  const path = `/dev/${name}`;
  const usb = await usbAbove(device);
  if (usb === null) return { path, vendor: null, product: null, serial: null, maker: null };
  const [vendor, product, serial, maker] = await Promise.all(
    ["idVendor", "idProduct", "serial", "manufacturer"].map((file) => textOf(join(usb, file))),
  );
  return {
    path,
    vendor: vendor ?? null,
    product: product ?? null,
    serial: serial ?? null,
    maker: maker ?? null,
  };
}

async function usbAbove(device: string): Promise<string | null> {
  let folder = device;
  for (let level = 0; level < LEVELS; level += 1) {
    if ((await textOf(join(folder, "idVendor"))) !== null) return folder;
    folder = dirname(folder);
  }
  return null;
}

async function textOf(file: string): Promise<string | null> {
  const text = await readFile(file, "utf8").catch(() => null);
  return text === null ? null : text.trim();
}
