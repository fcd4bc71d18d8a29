import { afterAll, beforeAll, expect, test } from "vitest";
import type { Closed, Link } from "../../drivers/link.js";
import { RemoteLinks } from "./remote-link.js";
import { rig, until } from "./rig.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;

const BLUEZ =
  "dbus-send --system --print-reply --dest=org.bluez / org.freedesktop.DBus.ObjectManager.GetManagedObjects";
/** On a busy computer the emulated controller can miss the kernel's own deadline: then once more. */
const BLUETOOTH_ON = `
  for turn in 1 2 3 4; do
    /bin/bash /opt/rig/ble_start.sh
    for i in $(seq 1 20); do ${BLUEZ} | grep -q hci0 && exit 0; sleep 0.5; done
    kill $(pgrep -x bluetoothd) $(pgrep -x btvirt); sleep 1
  done
  exit 1`;

beforeAll(() => rig.start(0));
afterAll(() => rig.stop());

/** A link of the guest's, and all that came out of it. */
function listen(link: Link): { link: Link; chunks: Uint8Array[]; closings: Closed[] } {
  const heard = { link, chunks: [] as Uint8Array[], closings: [] as Closed[] };
  link.onChunk = ({ bytes }) => void heard.chunks.push(bytes);
  link.onClosed = (closed) => void heard.closings.push(closed);
  return heard;
}

test("USBTMC: a query, an answer in pieces, unplugged, a fresh link", async () => {
  const links = new RemoteLinks();
  for (let turn = 0; turn < 2; turn += 1) {
    const gadget = rig.launch("exec /usr/bin/python3 /opt/rig/usbtmc_gadget.py");
    await gadget.line((each) => each["event"] === "bound", 60_000);
    rig.run("for i in $(seq 1 200); do [ -e /dev/usbtmc0 ] && exit 0; sleep 0.05; done; exit 1");
    const heard = listen(links.make("usbtmc:/dev/usbtmc0", line));
    const text = (): string => Buffer.concat(heard.chunks).toString("latin1");
    await heard.link.open();
    await heard.link.write(Buffer.from("*IDN?\n"));
    await until(() => text().endsWith("\n"));
    expect(text()).toBe("RIG,USBTMC,RIGTMC01,1.0\n");
    await heard.link.write(Buffer.from("BLOCK? 20000\n"));
    await until(() => text().length >= 24 + 20_012);
    expect(text().slice(24, 35)).toBe("#9000020000");
    gadget.close();
    await until(() => heard.closings.length > 0);
    expect(heard.closings).toMatchObject([{ by: "unplugged", error: { code: "meter/unplugged" } }]);
    await heard.link.close();
  }
  await expect(links.make("usbtmc:/dev/usbtmc0", line).open()).rejects.toMatchObject({
    code: "meter/absent",
  });
  links.close();
});

test("Bluetooth LE: found by name, subscribed, written to, dropped, connected anew", async () => {
  rig.run(BLUETOOTH_ON);
  const meter = rig.launch("exec /usr/bin/python3 /opt/rig/gatt_meter.py hci0 --hz 5 --len 14");
  await meter.line((each) => each["event"] === "advertising", 60_000);
  const links = new RemoteLinks("NOBLE_HCI_DEVICE_ID=1");
  for (let turn = 0; turn < 2; turn += 1) {
    const heard = listen(links.make("ble:RIGMETER", line));
    await heard.link.open();
    await until(() => heard.chunks.length >= 5, 30_000);
    expect(new Set(heard.chunks.map((bytes) => bytes.length))).toEqual(new Set([14]));
    await heard.link.write(Uint8Array.of(0xa1, 0xb2 + turn));
    const answered = (bytes: Uint8Array): boolean => bytes[0] === 0xa1 && bytes[1] === 0xb2 + turn;
    await until(() => heard.chunks.some(answered), 30_000);
    if (turn === 0) {
      const handle = "$(hcitool -i hci0 con | grep -o 'handle [0-9]*' | cut -d' ' -f2)";
      rig.run(`hcitool -i hci0 ledc ${handle} 19`);
      await until(() => heard.closings.length > 0);
      expect(heard.closings).toMatchObject([{ by: "peer", error: { code: "meter/dropped" } }]);
    }
    await heard.link.close();
  }
  links.close();
  meter.close();
});

test("Bluetooth LE: no adapter is said, not waited for", async () => {
  rig.run("kill $(pgrep -x bluetoothd) $(pgrep -x btvirt); sleep 1");
  const links = new RemoteLinks();
  await expect(links.make("ble:RIGMETER", line).open()).rejects.toMatchObject({
    code: "meter/bluetooth-absent",
  });
  links.close();
});
