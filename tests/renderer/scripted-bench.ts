import { readFile } from "node:fs/promises";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import path from "node:path";
import { WebSocketServer } from "ws";
import type { WebSocket } from "ws";
import type { Reply } from "../../workbench/contract/calls.js";
import { requestSchema } from "../../workbench/contract/calls.js";
import { eventSchema } from "../../workbench/contract/events.js";
import type { BenchEvent } from "../../workbench/contract/events.js";

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript",
  ".css": "text/css",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
  ".woff": "font/woff",
};

/** As strict as the real server's; a page that needs more fails here. */
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; media-src 'self' blob:; connect-src 'self'; base-uri 'none'";

export type Answer = (params: unknown) => unknown;

/**
 * A bench that says what the test tells it to say: the built page and a WebSocket on loopback,
 * speaking the real contract. Its events are checked before they leave.
 */
export class ScriptedBench {
  readonly requests: { readonly call: string; readonly params: unknown }[] = [];
  #snapshot: readonly BenchEvent[] = [];
  readonly #answers: Readonly<Record<string, Answer>>;
  readonly #server = createServer((request, response) => {
    void servePage(this.pageFolder, request.url ?? "/").then(({ status, type, body }) => {
      response.writeHead(status, { "content-type": type, "content-security-policy": POLICY });
      response.end(body);
    });
  });
  readonly #sockets = new WebSocketServer({ server: this.#server, path: "/bench" });

  constructor(
    private readonly pageFolder: string,
    answers: Readonly<Record<string, Answer>> = {},
  ) {
    this.#answers = answers;
    this.#sockets.on("connection", (socket) => this.#welcome(socket));
  }

  /** Listens; the address to open. */
  async open(port = 0): Promise<string> {
    await new Promise<void>((resolve) => this.#server.listen(port, "127.0.0.1", resolve));
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}/`;
  }

  /** What every new connection hears first; those that are there hear it now. */
  show(snapshot: readonly BenchEvent[]): void {
    this.#snapshot = snapshot;
    for (const event of snapshot) this.send(event);
  }

  send(event: BenchEvent): void {
    this.sendRaw(JSON.stringify(eventSchema.parse(event)));
  }

  /** Past the contract, for a window that has to stand it. */
  sendRaw(text: string): void {
    for (const socket of this.#sockets.clients) socket.send(text);
  }

  /** As when the process ends: connections break, and nobody listens until `open`. */
  async close(): Promise<void> {
    for (const socket of this.#sockets.clients) socket.terminate();
    await new Promise<void>((resolve) => {
      this.#server.close(() => resolve());
      this.#server.closeAllConnections();
    });
  }

  #welcome(socket: WebSocket): void {
    for (const event of this.#snapshot) socket.send(JSON.stringify(eventSchema.parse(event)));
    socket.on("message", (data) => {
      const request = requestSchema.parse(JSON.parse((data as Buffer).toString("utf8")));
      this.requests.push({ call: request.call, params: request.params });
      socket.send(JSON.stringify(this.#reply(request.id, request.call, request.params)));
    });
  }

  #reply(id: number, call: string, params: unknown): Reply {
    const answer = this.#answers[call];
    if (answer !== undefined) return { id, ok: true, result: answer(params) };
    const error = {
      code: "usage/not-scripted",
      what: `Nobody told this bench how to answer ${call}.`,
      action: "Add an answer to the test.",
    };
    return { id, ok: false, error };
  }
}

interface Page {
  readonly status: number;
  readonly type: string;
  readonly body: Buffer | string;
}

async function servePage(folder: string, url: string): Promise<Page> {
  const name = new URL(url, "http://127.0.0.1").pathname;
  const file = path.join(folder, name === "/" ? "index.html" : path.normalize(name));
  try {
    const type = TYPES[path.extname(file)] ?? "application/octet-stream";
    return { status: 200, type, body: await readFile(file) };
  } catch {
    return { status: 404, type: "text/plain", body: "nothing here" };
  }
}
