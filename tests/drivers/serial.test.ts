import { beforeEach, describe, expect, test } from "vitest";
import { parseAddress } from "../../drivers/address.js";
import type { Closed, Link } from "../../drivers/link.js";
import type { LinkSource } from "../../drivers/link-kind.js";
import { serialLinksOn } from "../../drivers/serial/serial-link.js";
import { LeadhandError } from "../../protocols/error.js";
import { ManualClock, settle } from "./manual-clock.js";
import { ScriptedComputer } from "./scripted-ports.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;

let computer: ScriptedComputer;
let clock: ManualClock;
let closings: Closed[];
beforeEach(() => {
  computer = new ScriptedComputer();
  clock = new ManualClock();
  closings = [];
});

function source(address: string): LinkSource {
  return serialLinksOn({ ports: computer, nodes: computer })(parseAddress(address), {
    line,
    clock,
  });
}

async function opened(make: LinkSource): Promise<Link> {
  const link = make();
  link.onClosed = (closed) => void closings.push(closed);
  await link.open();
  await settle();
  return link;
}

async function refused(make: LinkSource): Promise<LeadhandError> {
  const thrown: unknown = await make()
    .open()
    .catch((error: unknown) => error);
  expect(thrown).toBeInstanceOf(LeadhandError);
  return thrown as LeadhandError;
}

describe("opening", () => {
  test("sets speed, framing and the lines that power the cable", async () => {
    computer.plug("/dev/ttyUSB0");
    await opened(source("serial:/dev/ttyUSB0"));
    expect(computer.opened[0]).toMatchObject({ path: "/dev/ttyUSB0", line });
    expect(computer.opened[0]?.port.lines).toEqual({ dtr: true, rts: false });
  });

  test("a port without control lines is used all the same", async () => {
    computer.plug("/dev/pts/3");
    computer.linesError = new Error("Error: Inappropriate ioctl for device, cannot set");
    await opened(source("serial:/dev/pts/3"));
    expect(computer.opened).toHaveLength(1);
  });

  test("no such port", async () => {
    expect((await refused(source("serial:/dev/ttyUSB9"))).code).toBe("meter/absent");
  });

  test("no permission: names the group and offers a rule, and never sudo", async () => {
    computer.plug("/dev/ttyUSB0");
    computer.refusalWord = "EACCES";
    computer.nodeOwner = { group: "dialout", groupMayUse: true };
    const error = await refused(source("serial:/dev/ttyUSB0"));
    expect(error.code).toBe("meter/denied");
    expect(error.message).toContain('the group "dialout"');
    expect(error.message).toContain('SUBSYSTEM=="tty", KERNEL=="ttyUSB*", TAG+="uaccess"');
    expect(error.message).not.toMatch(/sudo/i);
  });

  test("no permission on a node of root: only the rule helps", async () => {
    computer.plug("/dev/ttyACM0");
    computer.refusalWord = "EACCES";
    computer.nodeOwner = { group: "root", groupMayUse: true };
    const error = await refused(source("serial:/dev/ttyACM0"));
    expect(error.action).toMatch(/^Have an administrator install .*ttyACM\*/);
  });

  // What the serialport package really says, by operating system.
  test.each([
    ["Error: No such file or directory, cannot open /dev/ttyUSB0", "meter/absent"],
    ["Error: Permission denied, cannot open /dev/ttyUSB0", "meter/denied"],
    ["Error Resource temporarily unavailable Cannot lock port", "meter/busy"],
    ["Error: Device or resource busy, cannot open /dev/ttyUSB0", "meter/busy"],
    ["Opening COM7: Access denied", "meter/busy"],
    ["Opening COM7: File not found", "meter/absent"],
    ["Error baud rate of 1234567 is not supported on your platform", "meter/line"],
    ["Error: Input/output error, cannot open /dev/ttyUSB0", "meter/port"],
  ])("%s → %s", async (message, code) => {
    computer.plug("/dev/ttyUSB0");
    computer.openError = new Error(message);
    expect((await refused(source("serial:/dev/ttyUSB0"))).code).toBe(code);
  });

  test("a port that is closed while it opens is not left open", async () => {
    computer.plug("/dev/ttyUSB0");
    const link = source("serial:/dev/ttyUSB0")();
    const opening = link.open().catch(() => undefined);
    await link.close();
    await opening;
    expect(computer.opened[0]?.port.closed ?? 1).toBe(1);
  });
});

describe("unplugged", () => {
  test("told by the library", async () => {
    computer.plug("/dev/ttyUSB0");
    await opened(source("serial:/dev/ttyUSB0"));
    computer.opened[0]?.port.onClose(new Error("bad file descriptor"));
    expect(closings.map(({ by, error }) => [by, error?.code])).toEqual([
      ["unplugged", "meter/unplugged"],
    ]);
  });

  test("not told by the library: the device file is gone", async () => {
    computer.plug("/dev/ttyUSB0");
    await opened(source("serial:/dev/ttyUSB0"));
    await clock.advance(3_000);
    expect(closings).toEqual([]);
    computer.unplugAll();
    await clock.advance(300);
    expect(closings.map(({ by }) => by)).toEqual(["unplugged"]);
  });

  test("unplugged and plugged in again between two looks: the device file is another", async () => {
    computer.plug("/dev/ttyUSB0");
    await opened(source("serial:/dev/ttyUSB0"));
    computer.replaced += 1;
    await clock.advance(300);
    expect(closings.map(({ by }) => by)).toEqual(["unplugged"]);
  });

  test("a port without a device file is left to the library", async () => {
    computer.plug("COM7");
    await opened(source("serial:COM7"));
    computer.unplugAll();
    await clock.advance(3_000);
    expect(closings).toEqual([]);
  });
});

describe("which port", () => {
  test("the cable comes back under another name and is found by what it is", async () => {
    computer.plug("/dev/ttyUSB0", "A1");
    const make = source("serial:/dev/ttyUSB0");
    await opened(make);
    computer.unplugAll();
    computer.plug("/dev/ttyUSB1", "A1");
    await opened(make);
    expect(computer.opened.map(({ path }) => path)).toEqual(["/dev/ttyUSB0", "/dev/ttyUSB1"]);
  });

  test("another cable that took the name is not the meter's", async () => {
    computer.plug("COM7", "A1");
    const make = source("serial:COM7");
    await opened(make);
    computer.unplugAll();
    computer.plug("COM7", "B2");
    computer.plug("COM8", "A1");
    await opened(make);
    expect(computer.opened.map(({ path }) => path)).toEqual(["COM7", "COM8"]);
  });

  test("while it is away, its own name is what is missing", async () => {
    computer.plug("/dev/ttyUSB0", "A1");
    const make = source("serial:/dev/ttyUSB0");
    await opened(make);
    computer.unplugAll();
    expect((await refused(make)).message).toContain("/dev/ttyUSB0");
  });

  test("an address can name the device instead of the port", async () => {
    computer.plug("/dev/ttyUSB0", "B2");
    computer.plug("/dev/ttyUSB3", "A1");
    await opened(source("serial:usb:0403:6001:A1"));
    expect(computer.opened[0]?.path).toBe("/dev/ttyUSB3");
    expect((await refused(source("serial:usb:0403:6001:C3"))).code).toBe("meter/absent");
  });

  test("two devices that fit are not guessed between", async () => {
    computer.plug("/dev/ttyUSB0", "A1");
    computer.plug("/dev/ttyUSB1", "B2");
    const error = await refused(source("serial:usb:0403:6001"));
    expect(error.code).toBe("meter/ambiguous");
    expect(error.message).toContain("/dev/ttyUSB0, /dev/ttyUSB1");
  });
});
