import { beforeEach, describe, expect, test } from "vitest";
import { parseAddress } from "../../drivers/address.js";
import { bleLinksOn } from "../../drivers/ble/ble-link.js";
import { choose, shortUuid } from "../../drivers/ble/characteristics.js";
import type { Characteristic, RadioState } from "../../drivers/ble/noble.js";
import type { Clock } from "../../drivers/clock.js";
import { systemClock } from "../../drivers/clock.js";
import type { LinkSource } from "../../drivers/link-kind.js";
import { LeadhandError } from "../../protocols/error.js";
import { linkContract } from "./link-contract.js";
import { ScriptedRadio } from "./scripted-radio.js";
import type { ScriptedMeter } from "./scripted-radio.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;

const meter: ScriptedMeter = {
  id: "aabbccddeeff",
  address: "aa:bb:cc:dd:ee:ff",
  name: "BENCHMETER",
  services: {
    "1800": { "2a00": ["read"] },
    fff0: { fff1: ["notify", "read"], fff2: ["write", "writeWithoutResponse"] },
  },
};

/** The system's clock with every wait a hundred times shorter: deadlines are met, not awaited. */
const hasty: Clock = {
  now_ns: () => systemClock.now_ns(),
  after: (delay_ms, fn) => systemClock.after(delay_ms / 100, fn),
};

function sourceOn(radio: ScriptedRadio, address: string, clock: Clock = hasty): LinkSource {
  const maker = bleLinksOn(() => Promise.resolve(radio.noble));
  return maker(parseAddress(address), { line, clock });
}

linkContract({
  name: "Bluetooth LE (scripted radio under the real noble)",
  start() {
    const radio = new ScriptedRadio();
    radio.meters = [meter];
    return Promise.resolve({
      clock: systemClock,
      make: sourceOn(radio, "ble:BENCHMETER", systemClock),
      say: (bytes) => {
        radio.say(bytes);
        return Promise.resolve();
      },
      heard: () => Uint8Array.from(radio.written),
      hangUp: () => {
        radio.drop(meter.id);
        return Promise.resolve();
      },
      hangsUpBy: "peer",
      stop: () => Promise.resolve(),
    });
  },
  makeAbsent: () => sourceOn(new ScriptedRadio(), "ble:BENCHMETER")(),
});

let radio: ScriptedRadio;
beforeEach(() => {
  radio = new ScriptedRadio();
  radio.meters = [meter];
});

async function refusal(address = "ble:BENCHMETER"): Promise<LeadhandError> {
  const thrown: unknown = await sourceOn(radio, address)()
    .open()
    .catch((error: unknown) => error);
  expect(thrown).toBeInstanceOf(LeadhandError);
  return thrown as LeadhandError;
}

describe("the radio", () => {
  test.each<[RadioState, string]>([
    ["poweredOff", "meter/bluetooth-off"],
    ["unauthorized", "meter/bluetooth-denied"],
    ["unsupported", "meter/no-bluetooth-le"],
  ])("%s → %s", async (state, code) => {
    radio.state = state;
    expect((await refusal()).code).toBe(code);
  });

  test("a stack that never says what it is counts as absent", async () => {
    radio.state = null;
    expect((await refusal()).code).toBe("meter/bluetooth-absent");
  });

  test("an adapter that is not there is absent at once, not after the deadline", async () => {
    radio.startError = new Error("ENODEV, No such device");
    const open = sourceOn(radio, "ble:BENCHMETER", {
      ...systemClock,
      after: () => () => undefined,
    });
    await expect(open().open()).rejects.toMatchObject({ code: "meter/bluetooth-absent" });
  });

  test.each([
    ["EAFNOSUPPORT, Address family not supported by protocol", "meter/bluetooth-absent"],
    ["EPERM, Operation not permitted", "meter/bluetooth-denied"],
  ])("%s, from the system at the start", async (message, code) => {
    const make = (): Promise<never> => Promise.reject(new Error(message));
    const source = bleLinksOn(make)(parseAddress("ble:BENCHMETER"), { line, clock: hasty });
    await expect(source().open()).rejects.toMatchObject({ code });
    radio.startError = new Error(message);
    expect((await refusal()).code).toBe(code);
  });

  test("an adapter that came later is found by a stack of its own", async () => {
    const absent = new ScriptedRadio();
    absent.startError = new Error("ENODEV");
    const stacks = [absent, radio];
    const maker = bleLinksOn(() => Promise.resolve((stacks.shift() ?? radio).noble));
    const make = maker(parseAddress("ble:BENCHMETER"), { line, clock: hasty });
    await expect(make().open()).rejects.toThrow(LeadhandError);
    await make().open();
  });

  test("switched on while we wait, it is used", async () => {
    radio.state = "poweredOff";
    expect((await refusal()).code).toBe("meter/bluetooth-off");
    radio.emit("stateChange", "poweredOn");
    await sourceOn(radio, "ble:BENCHMETER")().open();
  });
});

describe("every operation ends", () => {
  test.each([
    ["scan", "meter/bluetooth-stuck"],
    ["connect", "meter/bluetooth-late"],
    ["services", "meter/bluetooth-late"],
    ["notify", "meter/bluetooth-late"],
  ] as const)("%s unanswered", async (deaf, code) => {
    radio.deaf.add(deaf);
    expect((await refusal()).code).toBe(code);
    if (deaf === "connect") expect(radio.calls).toContain("cancel");
    if (deaf === "services" || deaf === "notify") expect(radio.calls).toContain("disconnect");
    radio.deaf.clear();
    await sourceOn(radio, "ble:BENCHMETER")().open();
  });

  test("a write unanswered", async () => {
    const link = sourceOn(radio, "ble:BENCHMETER")();
    await link.open();
    radio.deaf.add("write");
    await expect(link.write(Uint8Array.of(1))).rejects.toMatchObject({
      code: "meter/bluetooth-late",
    });
  });

  test("gone in the middle of connecting", async () => {
    radio.deaf.add("services");
    const opening = sourceOn(radio, "ble:BENCHMETER", systemClock)().open();
    while (!radio.linked) await new Promise((resolve) => setImmediate(resolve));
    await new Promise((resolve) => setImmediate(resolve));
    radio.drop(meter.id, 19);
    await expect(opening).rejects.toMatchObject({ code: "meter/dropped" });
  });
});

describe("which meter", () => {
  test.each(["ble:benchmeter", "ble:AA:BB:CC:DD:EE:FF", "ble:aabbccddeeff"])("%s", async (text) => {
    await sourceOn(radio, text)().open();
    expect(radio.calls).toContain("subscribe fff1");
  });

  test("another one in range is left alone", async () => {
    const error = await refusal("ble:OTHER");
    expect(error.code).toBe("meter/absent");
    expect(radio.calls).not.toContain("connect");
  });

  test("two meters share the radio: one is connected after the other", async () => {
    radio.meters = [meter, { ...meter, id: "2", address: "22:22:22:22:22:22", name: "SECOND" }];
    const maker = bleLinksOn(() => Promise.resolve(radio.noble));
    const [first, second] = ["ble:BENCHMETER", "ble:SECOND"].map((text) =>
      maker(parseAddress(text), { line, clock: hasty })(),
    );
    await Promise.all([first?.open(), second?.open()]);
    expect(radio.calls.filter((call) => /scan|connect/.test(call))).toEqual([
      "scan",
      "connect",
      "scan",
      "connect",
    ]);
  });
});

describe("which characteristic", () => {
  const characteristic = (uuid: string, ...properties: string[]): Characteristic => ({
    uuid,
    properties,
    on: () => undefined,
    removeAllListeners: () => undefined,
    subscribeAsync: () => Promise.resolve(),
    writeAsync: () => Promise.resolve(),
  });
  const services = [
    { uuid: "180f", characteristics: [characteristic("2a19", "notify")] },
    {
      uuid: "fff0",
      characteristics: [characteristic("fff1", "notify"), characteristic("fff2", "write")],
    },
    { uuid: "ffe0", characteristics: [characteristic("ffe1", "notify", "writeWithoutResponse")] },
  ];
  const any = { service: null, notify: null, write: null };

  test("two that could carry readings are not guessed between", () => {
    expect(() => choose(services, any)).toThrow(/fff1, ffe1/);
  });

  test("the service, or the characteristic, decides", () => {
    expect(choose(services, { ...any, service: "fff0" })).toMatchObject({
      notify: { uuid: "fff1" },
      write: { uuid: "fff2" },
    });
    expect(choose(services, { ...any, notify: "ffe1", write: "ffe1" })).toMatchObject({
      notify: { uuid: "ffe1" },
      write: { uuid: "ffe1" },
    });
  });

  test("one that is not there is said with those that are", () => {
    expect(() => choose(services, { ...any, notify: "abcd" })).toThrow(/offers fff1, ffe1/);
  });

  // Bluetooth Core Specification, vol. 3, part B, 2.5.1: the base UUID.
  test("a SIG number in any writing", () => {
    const long = "00002B18-0000-1000-8000-00805F9B34FB";
    expect([long, "2b18", "0x2B18"].map(shortUuid)).toEqual(["2b18", "2b18", "2b18"]);
    expect(shortUuid("6E400003-B5A3-F393-E0A9-E50E24DCCA9E")).toHaveLength(32);
  });
});
