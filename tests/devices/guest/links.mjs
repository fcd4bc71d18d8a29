/**
 * Runs in the guest, over the built program: opens links for the host and tells what they say.
 * Commands come as JSON lines on standard input, answers and events leave on standard output.
 */
import { createInterface } from "node:readline";
import { parseAddress } from "/app/dist/drivers/address.js";
import { systemClock } from "/app/dist/drivers/clock.js";
import { bleLinks } from "/app/dist/drivers/ble/ble-link.js";
import { hidLinks } from "/app/dist/drivers/hid/hid-link.js";
import { serialLinks } from "/app/dist/drivers/serial/serial-link.js";
import { tcpLinks } from "/app/dist/drivers/tcp-link.js";
import { usbtmcLinks } from "/app/dist/drivers/usbtmc-link.js";

const makers = {
  serial: serialLinks,
  tcp: tcpLinks,
  hid: hidLinks,
  usbtmc: usbtmcLinks,
  ble: bleLinks,
};
const sources = new Map();
const links = new Map();
const say = (message) => console.log(JSON.stringify(message));

/** One source an address, as one session would keep it. */
function sourceOf(text, line) {
  const key = JSON.stringify([text, line]);
  if (!sources.has(key)) {
    const address = parseAddress(text);
    sources.set(key, makers[address.scheme](address, { line, clock: systemClock }));
  }
  return sources.get(key);
}

const commands = {
  make({ link, address, line }) {
    const made = sourceOf(address, line)();
    made.onChunk = ({ bytes, arrival_ns }) =>
      say({ link, chunk: Buffer.from(bytes).toString("hex"), arrival_ns: String(arrival_ns) });
    made.onClosed = ({ by, error }) => say({ link, closed: { by, error: plain(error) } });
    links.set(link, made);
  },
  open: ({ link }) => links.get(link).open(),
  close: ({ link }) => links.get(link).close(),
  write: ({ link, hex }) => links.get(link).write(Buffer.from(hex, "hex")),
};

function plain(error) {
  if (error === undefined) return undefined;
  const { code, what, action, message } = error;
  return { code, what: what ?? message, action };
}

for await (const text of createInterface({ input: process.stdin })) {
  const { id, call, ...rest } = JSON.parse(text);
  // Not awaited: a close may come while an open is still under way.
  Promise.resolve()
    .then(() => commands[call](rest))
    .then(
      () => say({ id, ok: true, now_ns: String(systemClock.now_ns()) }),
      (error) => say({ id, ok: false, error: plain(error) }),
    );
}
process.exit(0);
