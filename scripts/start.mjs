/**
 * `npm start`: installs, builds and opens the workbench. Electron where its program is or can be
 * had, else the same window in an installed browser, else the address is printed.
 * Options: --browser (skip Electron), --no-window (print the address only).
 */
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build, electronBinary, ensureInstalled, findBrowser, root, say } from "./setup.mjs";

const options = new Set(process.argv.slice(2));
const passOn = process.argv
  .slice(2)
  .filter((text) => text !== "--browser" && text !== "--no-window");

ensureInstalled();
build();
const electron = options.has("--browser") || options.has("--no-window") ? null : haveElectron();
if (electron) await openDesktop(electron);
else await openInBrowser();

function haveElectron() {
  const here = electronBinary();
  if (here) return here;
  say("Electron's own program is not on this machine; trying to download it…");
  const tried = spawnSync("npx", ["--no-install", "install-electron"], {
    cwd: root,
    stdio: "ignore",
    timeout: 60_000,
    shell: process.platform === "win32",
  });
  const got = tried.status === 0 ? electronBinary() : null;
  if (!got) {
    say(
      "it could not be downloaded, so the same window opens in a browser. For the desktop app, run `npx install-electron` with a network and Node 22.12 or newer, then `npm start` again.",
    );
  }
  return got;
}

async function openDesktop(program) {
  const child = spawn(program, [root, ...passOn], { stdio: "inherit" });
  process.exitCode = await new Promise((resolve) =>
    child.once("exit", (code) => resolve(code ?? 1)),
  );
}

async function openInBrowser() {
  const bench = spawn(process.execPath, [join(root, "dist/electron/bench/main.js"), ...passOn], {
    stdio: ["ignore", "pipe", "inherit"],
    cwd: process.cwd(),
  });
  const stop = () => bench.kill("SIGTERM");
  process.once("SIGINT", stop);
  process.once("SIGTERM", stop);
  const address = await firstLine(bench);
  const browser = options.has("--no-window") ? null : browserWithScreen();
  if (browser) openWindow(browser, address, stop);
  else say(`open this address in a browser on this machine: ${address}`);
  process.exitCode = await new Promise((resolve) =>
    bench.once("exit", (code) => resolve(code ?? 0)),
  );
}

function browserWithScreen() {
  const screen = process.platform !== "linux" || process.env.DISPLAY || process.env.WAYLAND_DISPLAY;
  if (!screen) {
    say("there is no screen here (DISPLAY is not set).");
    return null;
  }
  const browser = findBrowser();
  if (!browser) {
    say(
      "no Chromium-family browser was found (LEADHAND_BROWSER=/path names one; on Debian: apt-get install chromium).",
    );
  }
  return browser;
}

/** A profile of its own, thrown away afterwards: no sign-in, no first-run pages, no extensions. */
function openWindow(browser, address, closed) {
  const profile = mkdtempSync(join(tmpdir(), "leadhand-window-"));
  const flags = [
    `--app=${address}`,
    `--user-data-dir=${profile}`,
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--window-size=1280,860",
    // Nobody has a hand free to touch the page before it may sound.
    "--autoplay-policy=no-user-gesture-required",
    // On Linux the browser uses the computer's voice (speech-dispatcher) only when told to.
    "--enable-speech-dispatcher",
  ];
  if (process.getuid?.() === 0) {
    say("running as root: the browser's own sandbox is off for this window.");
    flags.push("--no-sandbox");
  }
  const window = spawn(browser, flags, { stdio: "ignore" });
  say("the window is open; close it to end.");
  window.once("exit", () => {
    closed();
    rmSync(profile, { recursive: true, force: true, maxRetries: 3 });
  });
}

function firstLine(child) {
  return new Promise((resolve, reject) => {
    let text = "";
    child.stdout.on("data", (chunk) => {
      text += chunk;
      const end = text.indexOf("\n");
      if (end >= 0) resolve(text.slice(0, end));
    });
    child.once("exit", (code) =>
      reject(new Error(`the bench process ended (${code}) before it said its address`)),
    );
  });
}
