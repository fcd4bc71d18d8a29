import type { Socket } from "node:net";
import { afterAll, beforeAll } from "vitest";
import { linkContract } from "../drivers/link-contract.js";
import { RemoteLinks } from "./remote-link.js";
import { rig, until } from "./rig.js";
import type { GuestJob } from "./rig.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;

let links: RemoteLinks;
beforeAll(() => {
  rig.start(1);
  links = new RemoteLinks();
});
afterAll(() => {
  links.close();
  rig.stop();
});

linkContract({
  name: "serial, ftdi_sio in the guest",
  async start() {
    const heard: number[] = [];
    const wire = await rig.wire(0);
    wire.on("data", (bytes) => void heard.push(...bytes));
    let plugged = true;
    return {
      clock: links.clock,
      make: () => links.make("serial:/dev/ttyUSB0", line),
      say: (bytes) => write(wire, bytes),
      heard: () => Uint8Array.from(heard),
      async hangUp() {
        plugged = false;
        await rig.unplug(0);
      },
      async stop() {
        wire.destroy();
        if (plugged) return;
        await rig.plug(0);
        rig.run(
          "for i in $(seq 1 100); do [ -e /dev/ttyUSB0 ] && exit 0; sleep 0.05; done; exit 1",
        );
      },
    };
  },
  makeAbsent: () => links.make("serial:/dev/ttyUSB7", line),
});

linkContract({
  name: "HID, hid-generic in the guest",
  async start() {
    const bridge = rig.launch(
      "modprobe -a uhid hid_generic; exec /usr/bin/python3 /opt/rig/uhid_uart.py",
    );
    await bridge.line((each) => each["event"] === "start");
    rig.run("for i in $(seq 1 100); do [ -e /dev/hidraw0 ] && exit 0; sleep 0.05; done; exit 1");
    return {
      clock: links.clock,
      make: () => links.make("hid:1209:0001", line),
      say: (bytes) => {
        bridge.send(Buffer.from(bytes).toString("hex"));
        return Promise.resolve();
      },
      heard: () => reportsOf(bridge),
      hangUp: () => {
        bridge.send("quit");
        return Promise.resolve();
      },
      stop: () => unplugged(bridge),
    };
  },
  makeAbsent: () => links.make("hid:1209:9999", line),
});

async function write(wire: Socket, bytes: Uint8Array): Promise<void> {
  await new Promise<void>((resolve) => wire.write(bytes, () => resolve()));
}

/** What the bridge was sent: numbered reports, whose first byte is how many follow. */
function reportsOf(bridge: GuestJob): Uint8Array {
  const reports = bridge.lines.filter((each) => each["event"] === "output");
  return Uint8Array.from(
    reports.flatMap((each) => [...Buffer.from(each["hex"] as string, "hex").subarray(1)]),
  );
}

async function unplugged(bridge: GuestJob): Promise<void> {
  bridge.send("quit");
  await until(() => bridge.ended);
  rig.run("for i in $(seq 1 100); do [ -e /dev/hidraw0 ] || exit 0; sleep 0.05; done; exit 1");
}
