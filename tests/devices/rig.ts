import { execFileSync } from "node:child_process";
import type { StdioOptions } from "node:child_process";
import { existsSync } from "node:fs";
import { connect } from "node:net";
import type { Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { GuestJob, pause, until } from "./guest-job.js";

const root = join(import.meta.dirname, "..", "..");

/** Where the rig's files are; the script that starts these tests has looked already. */
const rigFolder = process.env["LEADHAND_RIG"] ?? join(root, "..", "shared", "rig");
const work = process.env["RIG_WORK"] ?? join(process.env["TMPDIR"] ?? tmpdir(), "rigwork");

const unplugged = new Set<number>();

/** The virtual machine: started once, driven over its sockets. */
export const rig = {
  start(adapters: number): void {
    // Its output is let go: the machine that stays behind would hold a pipe open for ever.
    rigCommand(["up", "--app", root, "--adapters", String(adapters)], "ignore");
    unplugged.clear();
    // The guest says that it is ready a moment before its agent answers.
    for (let left = 30; ; left -= 1) {
      try {
        rigCommand(["run", "true"], "ignore");
        return;
      } catch (error) {
        if (left === 0) throw error;
      }
    }
  },

  stop(): void {
    if (existsSync(join(work, "run", "pid"))) hostCommand("down");
  },

  /** Runs a command in the guest to its end. */
  async run(command: string, limit_ms = 60_000): Promise<void> {
    const job = rig.launch(command);
    await until(
      () => job.ended,
      limit_ms,
      () => job.report(),
    );
    if (job.status !== 0) throw new Error(`"${command}" failed in the guest. ${job.report()}`);
  },

  /** Waits until a file is there, or is gone, in the guest. */
  async node(path: string, there: boolean): Promise<void> {
    const test = there ? "-e" : "! -e";
    await rig.run(
      `for i in $(seq 1 200); do [ ${test} ${path} ] && exit 0; sleep 0.05; done; exit 1`,
    );
  },

  /** A command in the guest that goes on; its standard output line by line. */
  launch: (command: string): GuestJob => new GuestJob(work, command),

  /** Takes USB serial adapter n out of its socket. */
  async unplug(n: number): Promise<void> {
    await machine("device_del", { id: `ftdi${n}` });
    unplugged.add(n);
  },

  /** Plugs it in again; the emulator needs a moment to let the last one go. */
  async plug(n: number): Promise<void> {
    if (!unplugged.delete(n)) return;
    const device = {
      driver: "usb-serial",
      id: `ftdi${n}`,
      chardev: `ser${n}`,
      "always-plugged": true,
      serial: `RIG000${n + 1}`,
      bus: "xhci.0",
    };
    for (let left = 100; ; left -= 1) {
      try {
        await machine("device_add", device);
        return;
      } catch (error) {
        if (left === 0) throw error;
        await pause(50);
      }
    }
  },

  /** What the adapter was told: baud rate, framing, DTR and RTS. */
  line: (n: number): unknown => JSON.parse(hostCommand("line", String(n))),

  /** The meter's end of adapter n. */
  wire(n: number): Promise<Socket> {
    const socket = connect(join(work, "run", `ser${n}.sock`));
    return new Promise((resolve, reject) => {
      socket.once("connect", () => resolve(socket));
      socket.once("error", reject);
    });
  },
};

function hostCommand(...args: string[]): string {
  return rigCommand(args, ["ignore", "pipe", "inherit"]);
}

function rigCommand(args: string[], stdio: StdioOptions): string {
  const script = join(rigFolder, "host", "rig.py");
  const env = { ...process.env, RIG_WORK: work };
  const options = { env, stdio, encoding: "utf8", timeout: 300_000 } as const;
  return execFileSync("python3", [script, ...args], options);
}

/** One command of QEMU's machine protocol, on a connection of its own. */
async function machine(execute: string, args: object): Promise<void> {
  const socket = connect(join(work, "run", "qmp.sock"));
  try {
    const lines = createInterface({ input: socket })[Symbol.asyncIterator]();
    await lines.next();
    for (const command of [{ execute: "qmp_capabilities" }, { execute, arguments: args }]) {
      socket.write(JSON.stringify(command));
      await answer(lines);
    }
  } finally {
    socket.destroy();
  }
}

async function answer(lines: AsyncIterator<string>): Promise<void> {
  for (;;) {
    const next = await lines.next();
    if (next.done === true) throw new Error("the machine went away");
    const message = JSON.parse(next.value) as { event?: string; error?: { desc: string } };
    if (message.error !== undefined) throw new Error(message.error.desc);
    if (message.event === undefined) return;
  }
}
