import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import type { AddressInfo, Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "vitest";
import { parseAddress } from "../../drivers/address.js";
import { systemClock } from "../../drivers/clock.js";
import type { LinkMaker, LinkSource } from "../../drivers/link-kind.js";
import { recordedLinks } from "../../drivers/recorded/recorded-link.js";
import { serialLinks } from "../../drivers/serial/serial-link.js";
import { tcpLinks } from "../../drivers/tcp-link.js";
import { encodeBlock } from "../../protocols/raw-log/encode-block.js";
import { LeadhandError } from "../../protocols/error.js";
import { linkContract } from "./link-contract.js";
import type { FarEnd } from "./link-contract.js";
import { ManualClock } from "./manual-clock.js";
import { hasSocat, openPty } from "./pty.js";
import { ScriptedLink } from "./scripted-link.js";

const line = { baud: 2400, frame: "8n1", dtr: true, rts: false } as const;
const clock = systemClock;

function source(maker: LinkMaker, address: string): LinkSource {
  return maker(parseAddress(address), { line, clock });
}

async function waitFor(done: () => boolean): Promise<void> {
  while (!done()) await new Promise((resolve) => setTimeout(resolve, 2));
}

const gone = new LeadhandError("meter/unplugged", { what: "Gone.", action: "Plug it in." });

linkContract({
  name: "scripted",
  start() {
    const manual = new ManualClock();
    const heard: number[] = [];
    let link = new ScriptedLink(manual);
    const onWrite = (text: string): void => void heard.push(...Buffer.from(text, "latin1"));
    return Promise.resolve<FarEnd>({
      clock: manual,
      make: () => (link = new ScriptedLink(manual, { onWrite })),
      say: (bytes) => {
        link.say(bytes);
        return Promise.resolve();
      },
      heard: () => Uint8Array.from(heard),
      hangUp: () => {
        link.end({ by: "unplugged", error: gone });
        return Promise.resolve();
      },
      stop: () => Promise.resolve(),
    });
  },
  makeAbsent: () => new ScriptedLink(new ManualClock(), { refuse: gone }),
});

linkContract({
  name: "recorded",
  async start() {
    const folder = await mkdtemp(join(tmpdir(), "leadhand-links-"));
    const file = join(folder, "a.trace");
    const everyValue = Uint8Array.from({ length: 256 }, (_, value) => value);
    const chunks = [0, 1, 2, 3].map((n) => ({
      bytes: everyValue.slice(64 * n, 64 * (n + 1)),
      arrival_ns: 5_000_000_000n + 3_000_000n * BigInt(n),
    }));
    await writeFile(file, encodeBlock({ channel: "a", sequence: 0, chunks }));
    const make = source(recordedLinks, `recorded:${file}`);
    return {
      clock,
      make,
      say: () => Promise.resolve(),
      hangUp: () => Promise.resolve(),
      hangsUpBy: "end-of-recording",
      stop: () => rm(folder, { recursive: true }),
    };
  },
  makeAbsent: source(recordedLinks, "recorded:/nowhere/at-all.trace"),
});

linkContract({
  name: "TCP",
  async start() {
    const sockets = new Set<Socket>();
    const heard: number[] = [];
    const server = createServer((socket) => {
      sockets.add(socket);
      socket.on("data", (bytes) => void heard.push(...bytes));
      socket.on("error", () => undefined);
    });
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    const { port } = server.address() as AddressInfo;
    return {
      clock,
      make: source(tcpLinks, `tcp://127.0.0.1:${port}`),
      async say(bytes) {
        await waitFor(() => sockets.size > 0);
        for (const socket of sockets) if (!socket.destroyed) socket.write(bytes);
      },
      heard: () => Uint8Array.from(heard),
      async hangUp() {
        await waitFor(() => sockets.size > 0);
        for (const socket of sockets) socket.destroy();
      },
      hangsUpBy: "peer",
      async stop() {
        for (const socket of sockets) socket.destroy();
        await new Promise((resolve) => server.close(resolve));
      },
    };
  },
  // The discard port of a loopback address that nothing listens on.
  makeAbsent: source(tcpLinks, "tcp://127.0.0.1:9"),
});

if (hasSocat) {
  linkContract({
    name: "serial over a pseudo-terminal",
    start: startPty,
    makeAbsent: source(serialLinks, "serial:/dev/leadhand-no-such-port"),
  });
} else {
  test.skip("serial over a pseudo-terminal: socat is not installed", () => undefined);
}

async function startPty(): Promise<FarEnd> {
  const pty = await openPty();
  return {
    clock,
    make: source(serialLinks, `serial:${pty.path}`),
    say: (bytes) => pty.say(bytes),
    heard: () => Uint8Array.from(pty.heard),
    hangUp: () => pty.hangUp(),
    stop: () => pty.close(),
  };
}

const realPort = process.env["LEADHAND_TEST_PORT"];
if (realPort === undefined) {
  test.skip("serial on a real port: LEADHAND_TEST_PORT names none (a looped-back adapter)", () =>
    undefined);
} else {
  linkContract({ name: `serial on ${realPort}`, start: () => Promise.resolve(loopback(realPort)) });
}

/** A real adapter with its transmit and receive pins joined: what is said is what was written. */
function loopback(address: string): FarEnd {
  const make = source(serialLinks, address.includes(":") ? address : `serial:${address}`);
  let link = make();
  return {
    clock,
    make: () => (link = make()),
    say: (bytes) => link.write(bytes),
    stop: () => Promise.resolve(),
  };
}
