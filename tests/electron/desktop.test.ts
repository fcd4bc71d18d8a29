import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, vi } from "vitest";
import { isOurPage } from "../../electron/desktop/lockdown.js";
import { answerPage } from "../../electron/desktop/page-protocol.js";
import { startShell } from "../../electron/desktop/shell.js";
import { desktopDouble } from "./desktop-double.js";

const paths = { page: "/page", preload: "/preload.cjs", bench: "/bench.js" };

test("the sandbox and the scheme come before ready, the pages and permissions before the window", async () => {
  const { api, recorded } = desktopDouble();
  await startShell(api, paths, []);
  const order = [
    "switch:enable-speech-dispatcher",
    "enableSandbox",
    "scheme",
    "ready",
    "check",
    "device:false",
    "pages",
    "fork",
  ];
  expect(recorded.log.filter((entry) => order.includes(entry))).toEqual(order);
  expect(recorded.log.at(-1)).toBe("child:window:1");
});

test("the window has the preferences that Electron's security checklist asks for", async () => {
  const { api, recorded } = desktopDouble();
  await startShell(api, paths, []);
  expect(recorded.windowOptions[0]?.webPreferences).toMatchObject({
    sandbox: true,
    contextIsolation: true,
    nodeIntegration: false,
    webSecurity: true,
  });
  expect(recorded.log).toContain("open:deny");
});

test("every permission is refused but the camera alone, for our own page", async () => {
  const { api, recorded } = desktopDouble();
  await startShell(api, paths, []);
  const ask = (name: string, details: object = {}, requestingUrl = "leadhand://window/") => {
    let answer: boolean | null = null;
    recorded.permission?.({}, name, (yes) => (answer = yes), { requestingUrl, ...details });
    return answer;
  };
  for (const name of ["media", "serial", "hid", "geolocation", "openExternal"])
    expect(ask(name)).toBe(false);
  expect(ask("media", { mediaTypes: ["video"] })).toBe(true);
  expect(ask("media", { mediaTypes: ["audio", "video"] })).toBe(false);
  expect(ask("media", { mediaTypes: ["audio"] })).toBe(false);
  expect(ask("media", { mediaTypes: ["video"] }, "https://elsewhere.example/")).toBe(false);
  expect(recorded.check?.({}, "media", "leadhand://window/", { mediaType: "video" })).toBe(true);
  expect(recorded.check?.({}, "media", "leadhand://window/", { mediaType: "audio" })).toBe(false);
  expect(recorded.check?.({}, "serial", "leadhand://window/", {})).toBe(false);
});

test.each([
  ["leadhand://window/", true],
  ["leadhand://window/?a=b#c", true],
  ["leadhand://window.elsewhere.example/", false],
  ["leadhand://elsewhere/", false],
  ["https://window/", false],
  ["file:///etc/passwd", false],
  ["javascript:alert(1)", false],
  ["not an address", false],
])("navigation by parsed address: %s", (address, allowed) => {
  expect(isOurPage(address)).toBe(allowed);
});

test("pages come from the page folder alone, with the policy on them", async () => {
  const folder = await mkdtemp(join(tmpdir(), "leadhand-scheme-"));
  await writeFile(join(folder, "index.html"), "<p>window</p>");
  const page = await answerPage("leadhand://window/", folder);
  expect(page.status).toBe(200);
  expect(page.headers.get("content-security-policy")).toContain("script-src 'self'");
  for (const path of ["..%2f..%2fetc%2fpasswd", "%2e%2e/x", "missing.js"]) {
    expect((await answerPage(`leadhand://window/${path}`, folder)).status).toBe(404);
  }
  expect((await answerPage("leadhand://elsewhere/index.html", folder)).status).toBe(404);
  await rm(folder, { recursive: true });
});

test("a bench process that ends is started again and joined to the window with a new port", async () => {
  vi.useFakeTimers();
  const { api, recorded } = desktopDouble();
  await startShell(api, paths, []);
  recorded.children[0]?.emit("exit", 1);
  await vi.runAllTimersAsync();
  vi.useRealTimers();
  expect(recorded.log.filter((entry) => entry === "fork")).toHaveLength(2);
  expect(recorded.posted.map(({ channel }) => channel)).toEqual([
    "bench-port",
    "bench-gone",
    "bench-port",
  ]);
});

test("suspend and resume reach the bench process; quitting ends it for good", async () => {
  const { api, recorded } = desktopDouble();
  await startShell(api, paths, []);
  api.powerMonitor.on("suspend", () => undefined);
  (api.powerMonitor as unknown as NodeJS.EventEmitter).emit("suspend");
  (api.powerMonitor as unknown as NodeJS.EventEmitter).emit("resume");
  recorded.app.emit("will-quit");
  recorded.children[0]?.emit("exit", 0);
  expect(recorded.log.slice(-3)).toEqual(["child:suspend:0", "child:resume:0", "kill"]);
});

test("a second start brings the first window to the front instead of a second bench", async () => {
  const { api, recorded } = desktopDouble();
  await startShell(api, paths, []);
  recorded.app.emit("second-instance");
  expect(recorded.log.slice(-2)).toEqual(["restore", "focus"]);
});
