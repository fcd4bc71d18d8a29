import { mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { linuxPorts } from "../../drivers/serial/linux-ports.js";

let root: string;
beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), "leadhand-sys-"));
});
afterEach(() => rm(root, { recursive: true }));

/** A port as sysfs shows it: the class folder, and the device it points to. */
async function port(name: string, device: string, files: Record<string, string>): Promise<void> {
  const folder = join(root, "sys/class/tty", name);
  await mkdir(folder, { recursive: true });
  await mkdir(join(root, device), { recursive: true });
  await symlink(join(root, device), join(folder, "device"));
  for (const [file, text] of Object.entries(files)) {
    await mkdir(join(root, file, ".."), { recursive: true });
    await writeFile(join(root, file), `${text}\n`);
  }
}

test("USB ports with what their cable says of itself, whatever driver is between", async () => {
  const usb = "sys/devices/usb1/1-2";
  const says = { idVendor: "0403", idProduct: "6001", serial: "A1", manufacturer: "Example" };
  const files = Object.fromEntries(
    Object.entries(says).map(([file, text]) => [`${usb}/${file}`, text]),
  );
  // A converter has a port folder of its own under the interface, a modem-class device has not.
  await port("ttyUSB0", `${usb}/1-2:1.0/ttyUSB0`, files);
  await port("ttyACM0", `${usb}/1-2:1.1`, {});
  const expected = { vendor: "0403", product: "6001", serial: "A1", maker: "Example" };
  expect(await linuxPorts(root)).toEqual([
    { path: "/dev/ttyACM0", ...expected },
    { path: "/dev/ttyUSB0", ...expected },
  ]);
});

test("a chip on the board counts, an empty socket and a console do not", async () => {
  await port("ttyS0", "sys/devices/platform/serial8250", { "sys/class/tty/ttyS0/type": "4" });
  await port("ttyS1", "sys/devices/platform/serial8250", { "sys/class/tty/ttyS1/type": "0" });
  await mkdir(join(root, "sys/class/tty/tty1"), { recursive: true });
  expect((await linuxPorts(root)).map(({ path }) => path)).toEqual(["/dev/ttyS0"]);
});

test("a computer that shows nothing has no ports", async () => {
  expect(await linuxPorts(root)).toEqual([]);
});
