/**
 * What `npm start` and `npm test` share: install what the lock file names, build, find a browser.
 * Plain JavaScript with nothing but Node, since it runs before anything is installed.
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { accessSync, constants, existsSync, readFileSync, writeFileSync } from "node:fs";
import { delimiter, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = dirname(dirname(fileURLToPath(import.meta.url)));
const stamp = join(root, "node_modules", ".leadhand-installed");

/** Says a thing to the person in one line. */
export function say(text) {
  console.log(`leadhand: ${text}`);
}

/** Runs a command in the project's folder with its output shown; ends this process if it fails. */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, {
    cwd: root,
    stdio: "inherit",
    shell: process.platform === "win32",
    ...options,
  });
  if (result.status === 0) return;
  const why = result.error?.message ?? `it ended with status ${result.status ?? result.signal}`;
  console.error(`leadhand: \`${[command, ...args].join(" ")}\` did not succeed: ${why}.`);
  process.exit(result.status ?? 1);
}

function checkNode() {
  const [major, minor] = process.versions.node.split(".").map(Number);
  if (major > 20 || (major === 20 && minor >= 19)) return;
  console.error(`leadhand: Node ${process.versions.node} is too old; install Node 20.19 or newer.`);
  process.exit(1);
}

/** `npm ci`, but only when the lock file is not the one that was installed last. */
export function ensureInstalled() {
  checkNode();
  const wanted = createHash("sha256")
    .update(readFileSync(join(root, "package-lock.json")))
    .update(process.versions.modules)
    .digest("hex");
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === wanted) return;
  say("installing packages (once, and after each update)…");
  run("npm", ["ci", "--no-audit", "--no-fund"]);
  writeFileSync(stamp, wanted);
}

export function build() {
  say("building…");
  run("npm", ["run", "--silent", "build"]);
}

/** Where Electron's own program is, or null: its package may be installed without it. */
export function electronBinary() {
  try {
    const folder = join(root, "node_modules", "electron");
    const path = readFileSync(join(folder, "path.txt"), "utf8").trim();
    return executable(join(folder, "dist", path));
  } catch {
    return null;
  }
}

const browserNames = [
  "chromium",
  "chromium-browser",
  "google-chrome",
  "google-chrome-stable",
  "microsoft-edge",
  "brave-browser",
  "vivaldi",
];
const browserPaths = {
  darwin: [
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  ],
  win32: ["PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"].flatMap((place) => [
    join(process.env[place] ?? "C:\\", "Google", "Chrome", "Application", "chrome.exe"),
    join(process.env[place] ?? "C:\\", "Microsoft", "Edge", "Application", "msedge.exe"),
  ]),
};

/** An installed Chromium-family browser (LEADHAND_BROWSER names another), or null. */
export function findBrowser() {
  const named = process.env.LEADHAND_BROWSER;
  if (named) return executable(named);
  const onPath = (process.env.PATH ?? "")
    .split(delimiter)
    .flatMap((folder) => browserNames.map((name) => join(folder, name)));
  const candidates = [...onPath, ...(browserPaths[process.platform] ?? [])];
  return candidates.map(executable).find((path) => path !== null) ?? null;
}

function executable(path) {
  try {
    accessSync(path, constants.X_OK);
    return path;
  } catch {
    return null;
  }
}
