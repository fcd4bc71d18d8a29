import { mkdtemp, rm, writeFile, mkdir } from "node:fs/promises";
import { request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { WebSocket } from "ws";
import type { BenchPort } from "../../electron/bench/bench-port.js";
import { serveBench } from "../../electron/bench/server.js";
import type { BenchServer } from "../../electron/bench/server.js";

const bench: BenchPort = {
  snapshot: () => [{ type: "clock", time_s: 0 }],
  subscribe: () => () => undefined,
  answer: () => Promise.resolve({ id: 1, ok: true, result: {} }),
};

let folder: string;
let server: BenchServer;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-page-"));
  await mkdir(join(folder, "page"));
  await writeFile(join(folder, "page", "index.html"), "<p>window</p>");
  await writeFile(join(folder, "secret.txt"), "outside");
  server = await serveBench(bench, join(folder, "page"));
});

afterEach(async () => {
  await server.close();
  await rm(folder, { recursive: true });
});

interface Answer {
  status: number;
  headers: Record<string, unknown>;
  body: string;
}

/** A plain request: `fetch` would not let a test send Host or an unnormalised path. */
function get(path: string, headers: Record<string, string> = {}): Promise<Answer> {
  const { port } = new URL(server.address);
  return new Promise((resolve, reject) => {
    const asked = request({ host: "127.0.0.1", port, path, headers }, (response) => {
      let body = "";
      response.setEncoding("utf8");
      response.on("data", (text: string) => (body += text));
      response.on("end", () => {
        resolve({ status: response.statusCode ?? 0, headers: response.headers, body });
      });
    });
    asked.on("error", reject);
    asked.end();
  });
}

async function signIn(): Promise<string> {
  const url = new URL(server.address);
  const { headers } = await get(url.pathname + url.search);
  return String(headers["set-cookie"]).split(";")[0] ?? "";
}

function socketOutcome(headers: Record<string, string>): Promise<string> {
  const { port } = new URL(server.address);
  const socket = new WebSocket(`ws://127.0.0.1:${port}/bench`, { headers });
  return new Promise((resolve) => {
    socket.once("message", (data) => {
      socket.terminate();
      resolve((data as Buffer).toString());
    });
    socket.once("error", (error) => resolve(error.message));
  });
}

test("the token opens the page once, and the cookie from then on", async () => {
  const url = new URL(server.address);
  expect((await get("/")).status).toBe(403);
  const first = await get(url.pathname + url.search);
  expect(first.status).toBe(303);
  expect(String(first.headers["set-cookie"])).toMatch(/HttpOnly; SameSite=Strict/);
  expect((await get(url.pathname + url.search)).status).toBe(403);
  const cookie = String(first.headers["set-cookie"]).split(";")[0] ?? "";
  const page = await get("/", { cookie });
  expect(page).toMatchObject({ status: 200, body: "<p>window</p>" });
  expect(page.headers["content-security-policy"]).toContain("default-src 'none'");
});

test.each([
  "/../secret.txt",
  "/%2e%2e/secret.txt",
  "/..%2fsecret.txt",
  "/a/..%5c..%2f..%2fsecret.txt",
  "/%00",
  "/%",
])("nothing outside the page folder is served: %s", async (path) => {
  const answer = await get(path, { cookie: await signIn() });
  expect(answer.status).toBe(404);
  expect(answer.body).not.toContain("outside");
});

test("a name that was pointed at this machine is refused by its Host", async () => {
  const cookie = await signIn();
  expect((await get("/", { cookie, host: "leadhand.example" })).status).toBe(403);
});

test("the socket wants the cookie, and no page from elsewhere may use it", async () => {
  const cookie = await signIn();
  const { port } = new URL(server.address);
  expect(await socketOutcome({})).toContain("403");
  expect(await socketOutcome({ cookie, origin: "http://elsewhere.example" })).toContain("403");
  expect(await socketOutcome({ cookie, origin: `http://127.0.0.1:${port}` })).toContain("clock");
});
