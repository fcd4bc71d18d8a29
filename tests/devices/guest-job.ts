import { readFileSync } from "node:fs";
import { connect } from "node:net";
import type { Socket } from "node:net";
import { join } from "node:path";
import { createInterface } from "node:readline";

type Message = Readonly<Record<string, unknown>>;

/** A running command in the guest that prints JSON lines. */
export class GuestJob {
  readonly lines: Message[] = [];
  /** When each line came, ms on the host's `performance` clock. */
  readonly came_ms: number[] = [];
  readonly errors: string[] = [];
  onLine: (line: Message) => void = () => undefined;
  ended = false;
  /** null: not ended by itself. */
  status: number | null = null;
  readonly #socket: Socket;
  #rest = "";

  constructor(work: string, command: string) {
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
      if (e !== undefined) this.errors.push(Buffer.from(e, "base64").toString());
      if (o !== undefined) this.#take(Buffer.from(o, "base64").toString());
      if (rc === undefined) return;
      this.status = rc;
      this.ended = true;
    });
  }

  send(line: string): void {
    this.#socket.write(`${line}\n`);
  }

  /** The first line, past or to come, that fits. */
  async line(fits: (line: Message) => boolean, limit_ms = 30_000): Promise<Message> {
    await until(
      () => this.lines.some(fits) || this.ended,
      limit_ms,
      () => this.report(),
    );
    const found = this.lines.find(fits);
    if (found === undefined) throw new Error(`the guest's command ended. ${this.report()}`);
    return found;
  }

  close(): void {
    this.#socket.destroy();
  }

  report(): string {
    const last = this.lines.slice(-5).map((line) => JSON.stringify(line));
    return `Last lines: ${last.join(" ")} Errors: ${this.errors.join("").slice(-2_000)}`;
  }

  #take(text: string): void {
    const lines = (this.#rest + text).split("\n");
    this.#rest = lines.pop() ?? "";
    for (const line of lines) {
      const message = parse(line);
      this.lines.push(message);
      this.came_ms.push(performance.now());
      this.onLine(message);
    }
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
  limit_ms = 30_000,
  report = (): string => "",
): Promise<void> {
  const limit = Date.now() + limit_ms;
  while (!done()) {
    if (Date.now() > limit) throw new Error(`nothing came in ${limit_ms} ms. ${report()}`);
    await pause(5);
  }
}

export const pause = (ms: number): Promise<void> =>
  new Promise((resolve) => setTimeout(resolve, ms));
