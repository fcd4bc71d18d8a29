import { beforeEach, describe, expect, test } from "vitest";
import { parseAddress } from "../../drivers/address.js";
import type { DeviceNodes } from "../../drivers/device/node.js";
import { hidLinksOn } from "../../drivers/hid/hid-link.js";
import type { HidBus, HidFound, OpenHid } from "../../drivers/hid/hid-bus.js";
import { bridges } from "../../drivers/hid/reports.js";
import type { LinkSource } from "../../drivers/link-kind.js";
import { linkContract } from "./link-contract.js";
import { ManualClock } from "./manual-clock.js";

const line = { baud: 9600, frame: "8n1", dtr: true, rts: false } as const;

/** A computer with HID cables whose far ends a test holds. */
class ScriptedHid implements HidBus, DeviceNodes {
  plugged: HidFound[] = [];
  device: OpenHid | null = null;
  readonly written: Uint8Array[] = [];
  readonly features: Uint8Array[] = [];
  knowsFeatures = true;

  plug(path: string, serial: string): void {
    this.plugged.push({
      path,
      vendor: "1209",
      product: "0001",
      serial,
      name: null,
      isVendors: true,
    });
  }

  list(): Promise<readonly HidFound[]> {
    return Promise.resolve(this.plugged);
  }

  open(): Promise<OpenHid> {
    this.device = {
      onReport: () => undefined,
      onError: () => undefined,
      write: (report) => Promise.resolve(void this.written.push(report)),
      setFeature: (report) => {
        this.features.push(report);
        return this.knowsFeatures ? Promise.resolve() : Promise.reject(new Error("EPIPE"));
      },
      close: () => Promise.resolve(),
    };
    return Promise.resolve(this.device);
  }

  identity(path: string): Promise<string | null> {
    return Promise.resolve(this.plugged.some((each) => each.path === path) ? path : null);
  }

  refusal(): Promise<string | null> {
    return Promise.resolve(null);
  }

  owner(): Promise<null> {
    return Promise.resolve(null);
  }
}

let hid: ScriptedHid;
let clock: ManualClock;
beforeEach(() => {
  hid = new ScriptedHid();
  clock = new ManualClock();
  hid.plug("/dev/hidraw0", "A1");
});

function source(address: string): LinkSource {
  return hidLinksOn({ bus: hid, nodes: hid })(parseAddress(address), { line, clock });
}

for (const reports of ["numbered", "counted"] as const) {
  const bridge = bridges[reports];
  const withoutId = (report: Uint8Array): Uint8Array =>
    reports === "numbered" ? report : report.slice(1);
  linkContract({
    name: `HID, ${reports} reports`,
    start() {
      const bus = new ScriptedHid();
      const manual = new ManualClock();
      bus.plug("/dev/hidraw0", "A1");
      const maker = hidLinksOn({ bus, nodes: bus });
      const address = parseAddress(`hid:1209:0001?reports=${reports}`);
      return Promise.resolve({
        clock: manual,
        make: maker(address, { line, clock: manual }),
        say: (bytes) => {
          for (const report of bridge.reportsFor(bytes)) bus.device?.onReport(withoutId(report));
          return Promise.resolve();
        },
        heard: () =>
          Uint8Array.from(bus.written.flatMap((report) => [...bridge.bytesOf(withoutId(report))])),
        hangUp: () => {
          bus.device?.onError(new Error("could not read from HID device"));
          return Promise.resolve();
        },
        stop: () => Promise.resolve(),
      });
    },
    makeAbsent() {
      const bus = new ScriptedHid();
      const maker = hidLinksOn({ bus, nodes: bus });
      return maker(parseAddress("hid:1209:0001"), { line, clock: new ManualClock() })();
    },
  });
}

describe("reports", () => {
  test("eight-byte reports with the count in the low half of the first byte", () => {
    const report = Uint8Array.of(0xf2, 0x41, 0x42, 0, 0, 0, 0, 0);
    expect([...bridges.counted.bytesOf(report)]).toEqual([0x41, 0x42]);
    expect([...bridges.counted.bytesOf(Uint8Array.of(0xf0, 1, 2, 3, 4, 5, 6, 7))]).toEqual([]);
  });

  test("a count beyond the report is not read past its end", () => {
    expect([...bridges.counted.bytesOf(Uint8Array.of(40, 1, 2))]).toEqual([1, 2]);
    expect([...bridges.numbered.bytesOf(Uint8Array.of(63, 1, 2))]).toEqual([1, 2]);
  });

  test("the line is set: rate in bits per second, highest byte first, 8 data bits", async () => {
    await source("hid:1209:0001")().open();
    expect(hid.features.map((each) => Buffer.from(each).toString("hex"))).toEqual([
      "4101",
      "500000258000000300",
    ]);
  });

  test("a bridge without these settings is used as it is", async () => {
    hid.knowsFeatures = false;
    await source("hid:1209:0001")().open();
    expect(hid.device).not.toBeNull();
  });
});

describe("which device", () => {
  test("by serial number, or by its file", async () => {
    hid.plug("/dev/hidraw1", "B2");
    await source("hid:1209:0001:B2")().open();
    await source("hid:/dev/hidraw1")().open();
    await expect(source("hid:1209:0001:C3")().open()).rejects.toMatchObject({
      code: "meter/absent",
    });
  });

  test("two that fit are not guessed between", async () => {
    hid.plug("/dev/hidraw1", "B2");
    await expect(source("hid:1209:0001")().open()).rejects.toMatchObject({
      code: "meter/ambiguous",
    });
  });

  test.each(["hid:", "hid:12:1", "hid:meter"])("%s is refused", (text) => {
    expect(() => source(text)).toThrow(/vendor and product in hex/);
  });
});

test("unplugged without a word from the library: its file is gone", async () => {
  const closings: string[] = [];
  const link = source("hid:1209:0001")();
  link.onClosed = ({ by }) => void closings.push(by);
  await link.open();
  hid.plugged = [];
  await clock.advance(300);
  expect(closings).toEqual(["unplugged"]);
});
