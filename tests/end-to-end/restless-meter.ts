import { createServer } from "node:net";
import type { AddressInfo, Server, Socket } from "node:net";

const EVERY_MS = 40;

/** A meter on a socket that can be pulled out and put back at one address, and can talk rubbish. */
export class RestlessMeter {
  readonly #sockets = new Set<Socket>();
  readonly #unit: string;
  #server: Server | null = null;
  #port = 0;
  #value = 0;
  #held = "";
  #sent = 0;
  readonly #timer = setInterval(() => this.#send(), EVERY_MS);

  private constructor(unit: string) {
    this.#unit = unit;
  }

  static async open(unit: string): Promise<RestlessMeter> {
    const meter = new RestlessMeter(unit);
    await meter.plug();
    return meter;
  }

  get address(): string {
    return `tcp://127.0.0.1:${this.#port}?protocol=ascii-line`;
  }

  show(value: number): void {
    this.#value = value;
  }

  async plug(): Promise<void> {
    const server = createServer((socket) => {
      this.#sockets.add(socket.setNoDelay());
      socket.on("error", () => undefined);
      socket.on("close", () => this.#sockets.delete(socket));
    });
    this.#server = server;
    await new Promise<void>((resolve) => server.listen(this.#port, "127.0.0.1", resolve));
    this.#port = (server.address() as AddressInfo).port;
  }

  async unplug(): Promise<void> {
    const server = this.#server;
    this.#server = null;
    for (const socket of this.#sockets) socket.destroy();
    await new Promise<void>((resolve) => (server ? server.close(() => resolve()) : resolve()));
  }

  garbage(): void {
    this.#write(Uint8Array.from({ length: 300 }, (_, n) => (n * 73 + this.#sent) & 0xff));
  }

  async close(): Promise<void> {
    clearInterval(this.#timer);
    await this.unplug();
  }

  /** In pieces that are no lines: what goes out ends somewhere in the newest one. */
  #send(): void {
    this.#sent += 1;
    this.#held += `${this.#value.toFixed(2)} ${this.#unit} DC\r\n`;
    const cut = this.#held.length - (this.#sent % 4);
    if (this.#sent % 3 === 0) return;
    this.#write(Buffer.from(this.#held.slice(0, cut), "latin1"));
    this.#held = this.#held.slice(cut);
  }

  #write(bytes: Uint8Array): void {
    for (const socket of this.#sockets) socket.write(bytes);
  }
}
