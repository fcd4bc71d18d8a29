import { connect } from "node:net";
import type { Socket } from "node:net";
import { LeadhandError } from "../protocols/error.js";
import { badOption } from "./address.js";
import { BaseLink, within } from "./base-link.js";
import type { Clock } from "./clock.js";
import type { LinkMaker } from "./link-kind.js";

/** IANA service name "scpi-raw". */
const USUAL_PORT = 5025;
const CONNECT_MS = 5_000;
const WRITE_MS = 5_000;

interface Place {
  readonly host: string;
  readonly port: number;
}

export const tcpLinks: LinkMaker = (address, { clock }) => {
  const place = placeOf(address.target);
  return () => new TcpLink(place, clock);
};

/** `host`, `host:port`, `[IPv6]:port`. */
function placeOf(target: string): Place {
  const match = /^(?:\[([^\]]+)\]|([^:/]+))(?::(\d+))?\/?$/.exec(target);
  const host = match?.[1] ?? match?.[2];
  const port = match?.[3] === undefined ? USUAL_PORT : Number(match[3]);
  if (host !== undefined && port >= 1 && port <= 65_535) return { host, port };
  throw badOption("tcp", target, "Write it as tcp://host:port, such as tcp://127.0.0.1:5025.");
}

class TcpLink extends BaseLink {
  readonly #place: Place;
  #socket: Socket | null = null;

  constructor(place: Place, clock: Clock) {
    super(clock);
    this.#place = place;
  }

  protected async connect(): Promise<void> {
    const socket = connect({ ...this.#place, noDelay: true, keepAlive: true });
    this.#socket = socket;
    const failed = (cause: unknown): LeadhandError => refused(this.#place, cause);
    socket.on("data", (bytes) => this.deliver(bytes));
    const connected = new Promise<void>((resolve, reject) => {
      socket.once("connect", resolve);
      socket.once("error", (cause) => reject(failed(cause)));
    });
    await within(this.clock, CONNECT_MS, connected, () => failed("no answer"));
    let cause: unknown;
    socket.on("error", (error) => (cause = error));
    socket.on("close", () => this.ended({ by: "peer", error: dropped(this.#place, cause) }));
  }

  protected async send(bytes: Uint8Array): Promise<void> {
    const sent = new Promise<void>((resolve, reject) => {
      this.#socket?.write(bytes, (error) => {
        if (error) reject(dropped(this.#place, error));
        else resolve();
      });
    });
    await within(this.clock, WRITE_MS, sent, () => dropped(this.#place, "nothing was taken"));
  }

  protected release(): Promise<void> {
    const socket = this.#socket;
    if (socket === null || socket.closed) return Promise.resolve();
    return new Promise((resolve) => {
      socket.once("close", () => resolve());
      socket.destroy();
    });
  }
}

function refused({ host, port }: Place, cause: unknown): LeadhandError {
  const why = cause instanceof Error ? cause.message : String(cause);
  return new LeadhandError("meter/absent", {
    what: `No instrument answers at ${host}, port ${port}: ${why}.`,
    action: "Check that it is on, on this network, and that its socket server is switched on.",
    cause,
  });
}

function dropped({ host, port }: Place, cause: unknown): LeadhandError {
  return new LeadhandError("meter/dropped", {
    what: `The connection to ${host}, port ${port}, ended.`,
    action: "Check the network cable and the instrument; it is tried again by itself.",
    cause,
  });
}
