import { createServer } from "node:net";
import type { AddressInfo, Server, Socket } from "node:net";

/** How often the display is sent, as a brisk hand-held meter would. */
const EVERY_MS = 200;

/** A meter on a socket of this machine whose display the test writes, one line of text a reading. */
export class ScriptedMeter {
  #line = "0.002 V DC";
  readonly #sockets = new Set<Socket>();
  readonly #timer: NodeJS.Timeout;

  private constructor(
    private readonly server: Server,
    every_ms: number,
  ) {
    this.#timer = setInterval(() => this.#send(), every_ms);
    server.on("connection", (socket) => {
      this.#sockets.add(socket);
      socket.on("error", () => undefined);
      socket.on("close", () => this.#sockets.delete(socket));
    });
  }

  static async open(every_ms = EVERY_MS): Promise<ScriptedMeter> {
    const server = createServer();
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    return new ScriptedMeter(server, every_ms);
  }

  get address(): string {
    return `tcp://127.0.0.1:${(this.server.address() as AddressInfo).port}?protocol=ascii-line`;
  }

  /** What stands on the display from now on, such as "19.84 V DC" or "OL MOhm". */
  show(line: string): void {
    this.#line = line;
  }

  /** One display after the other, each for so long; resolves when the last has been there its time. */
  async play(...displays: readonly (readonly [line: string, for_ms: number])[]): Promise<void> {
    for (const [line, for_ms] of displays) {
      this.show(line);
      await new Promise((resolve) => setTimeout(resolve, for_ms));
    }
  }

  async close(): Promise<void> {
    clearInterval(this.#timer);
    for (const socket of this.#sockets) socket.destroy();
    await new Promise<void>((resolve) => this.server.close(() => resolve()));
  }

  #send(): void {
    for (const socket of this.#sockets) socket.write(`${this.#line}\r\n`);
  }
}
