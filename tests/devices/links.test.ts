import type { Socket } from "node:net";
import { afterAll, beforeAll } from "vitest";
import { linkContract } from "../drivers/link-contract.js";
import { CDC_PATH, CdcPort } from "./cdc-port.js";
import { until } from "./guest-job.js";
import type { GuestJob } from "./guest-job.js";
import { onRig } from "./on-rig.js";
import { RemoteLinks } from "./remote-link.js";
import { rig } from "./rig.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;

onRig("links", 1, () => {
  let links: RemoteLinks;
  beforeAll(() => {
    links = new RemoteLinks();
  });
  afterAll(() => links.close());

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
          await rig.node("/dev/ttyUSB0", true);
        },
      };
    },
    makeAbsent: () => links.make("serial:/dev/ttyUSB7", line),
  });

  linkContract({
    name: "serial, cdc_acm in the guest",
    async start() {
      const port = await CdcPort.plug();
      return {
        clock: links.clock,
        make: () => links.make(`serial:${CDC_PATH}`, line),
        say: later((bytes) => port.say(bytes)),
        heard: () => port.heard(),
        hangUp: () => port.unplug(),
        stop: () => port.unplug(),
      };
    },
    makeAbsent: () => links.make("serial:/dev/ttyACM7", line),
  });

  linkContract({
    name: "HID, hid-generic in the guest",
    async start() {
      const bridge = rig.launch(
        "modprobe -a uhid hid_generic; exec /usr/bin/python3 /opt/rig/uhid_uart.py",
      );
      await bridge.line((each) => each["event"] === "start");
      await rig.node("/dev/hidraw0", true);
      return {
        clock: links.clock,
        make: () => links.make("hid:1209:0001", line),
        say: later((bytes) => bridge.send(Buffer.from(bytes).toString("hex"))),
        heard: () => reportsOf(bridge),
        hangUp: later(() => bridge.send("quit")),
        stop: () => unplugged(bridge),
      };
    },
    makeAbsent: () => links.make("hid:1209:9999", line),
  });
});

/** For what is done by sending a line to the guest. */
function later<T extends unknown[]>(send: (...what: T) => void): (...what: T) => Promise<void> {
  return (...what) => {
    send(...what);
    return Promise.resolve();
  };
}

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
  await rig.node("/dev/hidraw0", false);
}
