import { execFileSync } from "node:child_process";
import type { StdioOptions } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { connect } from "node:net";
import type { Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

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

  /** Runs a command in the guest to its end and gives what it printed. */
  run(command: string): string {
    return hostCommand("run", command);
  },

  /** A command in the guest that goes on; its standard output line by line. */
  launch: (command: string): GuestJob => new GuestJob(command),

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
        await new Promise((resolve) => setTimeout(resolve, 50));
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

type Message = Readonly<Record<string, unknown>>;

/** A running command in the guest that prints JSON lines. */
export class GuestJob {
  readonly lines: Message[] = [];
  readonly errors: string[] = [];
  onLine: (line: Message) => void = () => undefined;
  ended = false;
  readonly #socket: Socket;
  #rest = "";

  constructor(command: string) {
    const port = Number(readFileSync(join(work, "run", "port"), "utf8"));
    this.#socket = connect(port, "127.0.0.1");
    this.#socket.on("error", () => (this.ended = true));
    this.#socket.on("close", () => (this.ended = true));
    this.#socket.write(`${JSON.stringify({ cmd: command, env: {} })}\n`);
    const lines = createInterface({ input: this.#socket });
    // The interface tells its input's errors again; the socket's own listener has them.
    lines.on("error", () => undefined);
    lines.on("line", (line) => {
      const { o, e, rc } = JSON.parse(line) as { o?: string; e?: string; rc?: number };
      if (rc !== undefined) this.ended = true;
      if (e !== undefined) this.errors.push(Buffer.from(e, "base64").toString());
      if (o !== undefined) this.#take(Buffer.from(o, "base64").toString());
    });
  }

  send(line: string): void {
    this.#socket.write(`${line}\n`);
  }

  /** The first line, past or to come, that fits. */
  async line(fits: (line: Message) => boolean, limit_ms = 20_000): Promise<Message> {
    await until(
      () => this.lines.some(fits) || this.ended,
      limit_ms,
      () => this.#report(),
    );
    const found = this.lines.find(fits);
    if (found === undefined) throw new Error(`the guest's command ended. ${this.#report()}`);
    return found;
  }

  close(): void {
    this.#socket.destroy();
  }

  #take(text: string): void {
    const lines = (this.#rest + text).split("\n");
    this.#rest = lines.pop() ?? "";
    for (const line of lines) {
      const message = parse(line);
      this.lines.push(message);
      this.onLine(message);
    }
  }

  #report(): string {
    const last = this.lines.slice(-5).map((line) => JSON.stringify(line));
    return `Last lines: ${last.join(" ")} Errors: ${this.errors.join("").slice(-2_000)}`;
  }
}

function parse(line: string): Message {
  try {
    return JSON.parse(line) as Message;
  } catch {
    return { text: line };
  }
}

export async function until(
  done: () => boolean,
  limit_ms = 20_000,
  report = (): string => "",
): Promise<void> {
  const limit = Date.now() + limit_ms;
  while (!done()) {
    if (Date.now() > limit) throw new Error(`nothing came in ${limit_ms} ms. ${report()}`);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}
