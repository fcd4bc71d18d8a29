/**
 * Runs in the guest, over the built program: keeps a session on one meter address and prints its
 * events as JSON lines, each with the guest's time. usage: node session.mjs ADDRESS
 */
import { readdirSync, readlinkSync } from "node:fs";
import { createInterface } from "node:readline";
import { systemClock } from "/app/dist/drivers/clock.js";
import { chooseMeter } from "/app/dist/drivers/links.js";
import { openSession } from "/app/dist/drivers/session.js";
import { findProtocol, protocols } from "/app/dist/protocols/registry.js";

const origin_ns = systemClock.now_ns();
const now_s = () => Number(systemClock.now_ns() - origin_ns) / 1e9;
let chunks = 0;
const session = openSession({
  channel: "a",
  meter: chooseMeter(process.argv[2], { protocol: findProtocol, all: protocols.values() }),
  clock: systemClock,
  rawSink: { append: () => (chunks += 1) },
  origin_ns,
  onEvent: (event) => console.log(JSON.stringify({ at_s: now_s(), cpu_s: cpu_s(), ...event })),
});

function cpu_s() {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

/** The serial port that this process has open. */
function portInUse() {
  const open = readdirSync("/proc/self/fd").map((fd) => {
    try {
      return readlinkSync(`/proc/self/fd/${fd}`);
    } catch {
      return "";
    }
  });
  return open.find((path) => path.startsWith("/dev/tty")) ?? null;
}

for await (const line of createInterface({ input: process.stdin })) {
  if (line === "close") break;
  if (line === "stats") {
    console.log(
      JSON.stringify({
        stats: session.stats,
        timing: session.timing,
        chunks,
        cpu_s: cpu_s(),
        at_s: now_s(),
      }),
    );
  }
  if (line === "port") console.log(JSON.stringify({ port: portInUse() }));
  if (line === "interrupted") session.interrupted();
  if (line === "resumed") session.resumed();
}
await session.close();
process.exit(0);
