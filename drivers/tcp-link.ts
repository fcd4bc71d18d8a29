import { connect } from "node:net";
import type { Socket } from "node:net";
import { LeadhandError } from "../protocols/error.js";
import { badOption } from "./address.js";
import type { Clock } from "./clock.js";
import type { Closed, Link } from "./link.js";
import type { LinkMaker } from "./link-kind.js";

/** IANA service name "scpi-raw". */
const USUAL_PORT = 5025;
const CONNECT_MS = 5_000;
const WRITE_MS = 5_000;

export interface HostPort {
  readonly host: string;
  readonly port: number;
}

/** `host`, `host:port`, `[IPv6]:port`; throws `usage/meter-option`. */
export function hostPort(target: string): HostPort {
  const match = /^(?:\[([^\]]+)\]|([^:/]+))(?::(\d+))?\/?$/.exec(target);
  const host = match?.[1] ?? match?.[2];
  const port = match?.[3] === undefined ? USUAL_PORT : Number(match[3]);
  if (host !== undefined && port >= 1 && port <= 65_535) return { host, port };
  throw badOption("tcp", target, "Write it as tcp://host:port, such as tcp://127.0.0.1:5025.");
}

export const tcpLinks: LinkMaker = (address, { clock }) => {
  const place = hostPort(address.target);
  return () => new TcpLink(place, clock);
};

class TcpLink implements Link {
  onChunk: Link["onChunk"] = () => undefined;
  onClosed: Link["onClosed"] = () => undefined;
  readonly #place: HostPort;
  readonly #clock: Clock;
  #socket: Socket | null = null;
  #opened = false;
  #ended = false;

  constructor(place: HostPort, clock: Clock) {
    this.#place = place;
    this.#clock = clock;
  }

  open(): Promise<void> {
    const socket = connect({ ...this.#place, noDelay: true, keepAlive: true });
    this.#socket = socket;
    socket.on("data", (bytes) => this.#deliver(bytes));
    socket.on("close", () => this.#end({ by: "peer", error: dropped(this.#place) }));
    return new Promise((resolve, reject) => {
      const fail = (cause: unknown): void => {
        cancel();
        socket.destroy();
        reject(refused(this.#place, cause));
      };
      const cancel = this.#clock.after(CONNECT_MS, () => fail("no answer"));
      socket.once("connect", () => {
        cancel();
        socket.off("error", fail);
        socket.on("error", (cause) =>
          this.#end({ by: "peer", error: dropped(this.#place, cause) }),
        );
        this.#opened = true;
        resolve();
      });
      socket.once("error", fail);
    });
  }

  write(bytes: Uint8Array): Promise<void> {
    const socket = this.#socket;
    if (socket === null || this.#ended) return Promise.reject(dropped(this.#place));
    return new Promise((resolve, reject) => {
      const cancel = this.#clock.after(WRITE_MS, () => reject(dropped(this.#place, "write")));
      socket.write(bytes, (error) => {
        cancel();
        if (error) reject(dropped(this.#place, error));
        else resolve();
      });
    });
  }

  close(): Promise<void> {
    const socket = this.#socket;
    this.#end({ by: "us" });
    if (socket === null || socket.closed) return Promise.resolve();
    return new Promise((resolve) => {
      socket.once("close", () => resolve());
      socket.destroy();
    });
  }

  #deliver(bytes: Uint8Array): void {
    const arrival_ns = this.#clock.now_ns();
    if (!this.#ended) this.onChunk({ bytes, arrival_ns });
  }

  #end(closed: Closed): void {
    if (this.#ended) return;
    this.#ended = true;
    this.#socket?.destroy();
    if (this.#opened) this.onClosed(closed);
  }
}

function refused(place: HostPort, cause: unknown): LeadhandError {
  const why = cause instanceof Error ? cause.message : String(cause);
  return new LeadhandError("meter/absent", {
    what: `No instrument answers at ${place.host}, port ${place.port}: ${why}.`,
    action: "Check that it is on, on this network, and that its socket server is switched on.",
    cause,
  });
}

function dropped(place: HostPort, cause?: unknown): LeadhandError {
  return new LeadhandError("meter/dropped", {
    what: `The connection to ${place.host}, port ${place.port}, ended.`,
    action: "Check the network cable and the instrument; it is tried again by itself.",
    cause,
  });
}
