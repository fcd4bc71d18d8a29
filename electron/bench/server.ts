import { createServer } from "node:http";
import type { IncomingMessage, Server, ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { WebSocketServer } from "ws";
import { Access } from "./access.js";
import type { BenchPort } from "./bench-port.js";
import { contentSecurityPolicy, pageFile } from "./static-files.js";
import { serveSocket } from "./socket.js";

/** A photo of a job is the largest thing a window sends, bytes. */
const LARGEST_MESSAGE = 24 << 20;

export interface BenchServer {
  /** To open in a browser on this machine; its token works once. */
  readonly address: string;
  close(): Promise<void>;
}

/** Serves the window's files and the bench itself on 127.0.0.1 and a free port. */
export async function serveBench(bench: BenchPort, pageFolder: string): Promise<BenchServer> {
  const server = createServer();
  const access = new Access(() => (server.address() as AddressInfo).port);
  const sockets = new WebSocketServer({ noServer: true, maxPayload: LARGEST_MESSAGE });
  server.on("request", (request, response) => {
    void respond(request, response, access, pageFolder);
  });
  server.on("upgrade", (request, socket, head) => {
    const path = new URL(request.url ?? "/", "http://127.0.0.1").pathname;
    if (path !== "/bench" || !allowed(request, access)) {
      socket.end("HTTP/1.1 403 Forbidden\r\nConnection: close\r\n\r\n");
      return;
    }
    sockets.handleUpgrade(request, socket, head, (webSocket) => serveSocket(bench, webSocket));
  });
  await listen(server);
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/?token=${access.token}`,
    close: () => close(server, sockets),
  };
}

function allowed(request: IncomingMessage, access: Access): boolean {
  return access.hostIsOurs(request) && access.originIsOurs(request) && access.hasSession(request);
}

async function respond(
  request: IncomingMessage,
  response: ServerResponse,
  access: Access,
  pageFolder: string,
): Promise<void> {
  const url = new URL(request.url ?? "/", "http://127.0.0.1");
  if (request.method !== "GET" || !access.hostIsOurs(request)) {
    refuse(response, 403);
    return;
  }
  const token = url.searchParams.get("token");
  const cookie = token === null ? null : access.exchange(token);
  if (cookie !== null) {
    response.writeHead(303, { "set-cookie": cookie, location: "/", "cache-control": "no-store" });
    response.end();
    return;
  }
  if (!access.hasSession(request)) {
    refuse(response, 403);
    return;
  }
  if (token !== null) {
    response.writeHead(303, { location: "/", "cache-control": "no-store" });
    response.end();
    return;
  }
  const file = await pageFile(pageFolder, url.pathname);
  if (file === null) {
    refuse(response, 404);
    return;
  }
  response.writeHead(200, {
    "content-type": file.type,
    "content-security-policy": contentSecurityPolicy,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cache-control": "no-cache",
  });
  response.end(file.body);
}

function refuse(response: ServerResponse, status: 403 | 404): void {
  const words =
    status === 404
      ? "There is nothing here."
      : "This address was already used, or comes from somewhere else. Start Leadhand again and open the address that it prints.";
  response.writeHead(status, { "content-type": "text/plain; charset=utf-8" });
  response.end(`${words}\n`);
}

function listen(server: Server): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", reject);
    server.listen(0, "127.0.0.1", resolve);
  });
}

function close(server: Server, sockets: WebSocketServer): Promise<void> {
  for (const client of sockets.clients) client.terminate();
  return new Promise((resolve) => {
    server.close(() => resolve());
    server.closeAllConnections();
  });
}
