import { expect, test } from "vitest";
import { parseAddress } from "../../drivers/address.js";
import type { DeviceNodes } from "../../drivers/device/node.js";
import { usbtmcLinksOn } from "../../drivers/usbtmc-link.js";
import type { DeviceFile } from "../../drivers/usbtmc-link.js";
import { linkContract } from "./link-contract.js";
import { ManualClock, settle } from "./manual-clock.js";

const line = { baud: 9600, frame: "8n1", dtr: true, rts: false } as const;

/** An instrument behind the kernel's driver: one message a write, answers only when read. */
class ScriptedInstrument implements DeviceFile, DeviceNodes {
  readonly messages: Uint8Array[] = [];
  /** Parts of answers, in the order in which reads shall get them. */
  readonly answers: Uint8Array[] = [];
  reads = 0;
  here = true;
  #waiting: ((error: Error | null) => void) | null = null;

  write(bytes: Uint8Array): Promise<void> {
    this.messages.push(bytes.slice());
    return Promise.resolve();
  }

  async read(buffer: Uint8Array): Promise<{ bytesRead: number }> {
    this.reads += 1;
    if (this.answers.length === 0) {
      const error = await new Promise<Error | null>((resolve) => (this.#waiting = resolve));
      if (error !== null) throw error;
    }
    const part = this.answers.shift() ?? new Uint8Array(0);
    buffer.set(part);
    return { bytesRead: part.length };
  }

  close(): Promise<void> {
    this.fail("EBADF");
    return Promise.resolve();
  }

  answer(...parts: (Uint8Array | string)[]): void {
    this.answers.push(...parts.map((part) => Uint8Array.from(Buffer.from(part))));
    this.#wake(null);
  }

  fail(code: string): void {
    this.#wake(Object.assign(new Error(code), { code }));
  }

  identity(path: string): Promise<string | null> {
    return Promise.resolve(this.here ? path : null);
  }

  refusal(): Promise<string | null> {
    return Promise.resolve(this.here ? null : "ENOENT");
  }

  owner(): Promise<null> {
    return Promise.resolve(null);
  }

  #wake(error: Error | null): void {
    this.#waiting?.(error);
    this.#waiting = null;
  }
}

function linksOn(instrument: ScriptedInstrument, clock = new ManualClock()) {
  const maker = usbtmcLinksOn({ nodes: instrument, open: () => Promise.resolve(instrument) });
  return maker(parseAddress("usbtmc:/dev/usbtmc0"), { line, clock });
}

linkContract({
  name: "USBTMC",
  start() {
    const instrument = new ScriptedInstrument();
    const clock = new ManualClock();
    const make = linksOn(instrument, clock);
    let link = make();
    return Promise.resolve({
      clock,
      make: () => (link = make()),
      async say(bytes) {
        await link.write(Buffer.from("READ?\n"));
        instrument.answer(bytes);
      },
      heard: () => Uint8Array.from(instrument.messages.flatMap((message) => [...message])),
      async hangUp() {
        await link.write(Buffer.from("READ?\n"));
        instrument.fail("ENODEV");
      },
      stop: () => Promise.resolve(),
    });
  },
  makeAbsent() {
    const instrument = new ScriptedInstrument();
    instrument.here = false;
    return linksOn(instrument)();
  },
});

async function opened(instrument: ScriptedInstrument, clock = new ManualClock()) {
  const link = linksOn(instrument, clock)();
  const heard: string[] = [];
  link.onChunk = ({ bytes }) => void heard.push(Buffer.from(bytes).toString());
  await link.open();
  return { link, heard };
}

test("nothing is read that was not asked for", async () => {
  const instrument = new ScriptedInstrument();
  const { link } = await opened(instrument);
  await link.write(Buffer.from("CONF:VOLT:DC\n"));
  await settle();
  expect(instrument.reads).toBe(0);
});

test("an answer in pieces is read to its newline, the next query's after it", async () => {
  const instrument = new ScriptedInstrument();
  const { link, heard } = await opened(instrument);
  instrument.answer("#9000", "00004ab", "cd\n");
  await link.write(Buffer.from("DATA?\n"));
  await link.write(Buffer.from("READ?\n"));
  instrument.answer("+1.5\n");
  await settle();
  expect(heard).toEqual(["#9000", "00004ab", "cd\n", "+1.5\n"]);
  expect(instrument.reads).toBe(4);
});

test("a query without an answer is given up by the kernel, and the next one works", async () => {
  const instrument = new ScriptedInstrument();
  const { link, heard } = await opened(instrument);
  await link.write(Buffer.from("WHAT?\n"));
  await settle();
  instrument.fail("ETIMEDOUT");
  await settle();
  await link.write(Buffer.from("READ?\n"));
  instrument.answer("+2.5\n");
  await settle();
  expect(heard).toEqual(["+2.5\n"]);
});

test("unplugged while nothing is asked: its file is gone", async () => {
  const instrument = new ScriptedInstrument();
  const clock = new ManualClock();
  const { link } = await opened(instrument, clock);
  const closings: string[] = [];
  link.onClosed = ({ by }) => void closings.push(by);
  instrument.here = false;
  await clock.advance(300);
  expect(closings).toEqual(["unplugged"]);
});

test("anything but a device file is refused", () => {
  const maker = usbtmcLinksOn({
    nodes: new ScriptedInstrument(),
    open: () => Promise.reject(new Error("not opened")),
  });
  const address = parseAddress("usbtmc:0");
  expect(() => maker(address, { line, clock: new ManualClock() })).toThrow(/device file/);
});
