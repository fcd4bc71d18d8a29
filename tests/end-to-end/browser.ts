import { chromium } from "playwright-core";
import type { Browser, Page } from "playwright-core";

const ARGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

const executablePath = process.env["LEADHAND_BROWSER"] ?? "/usr/bin/chromium";

/** The installed Chromium; LEADHAND_BROWSER names another. */
export function openBrowser(more: readonly string[] = []): Promise<Browser> {
  return chromium.launch({ executablePath, args: [...ARGS, ...more] });
}

/** The same with its sound on, and free to sound before the page is touched, as `npm start` opens it. */
export function openAudibleBrowser(env: Record<string, string>): Promise<Browser> {
  return chromium.launch({
    executablePath,
    ignoreDefaultArgs: ["--mute-audio"],
    args: [...ARGS, "--autoplay-policy=no-user-gesture-required", "--enable-speech-dispatcher"],
    env: { ...process.env, ...env },
  });
}

/** Collects what a page says to its console above a warning; a clean page leaves it empty. */
export function consoleErrors(page: Page): string[] {
  const errors: string[] = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") errors.push(message.text());
  });
  page.on("pageerror", (error) => errors.push(error.message));
  return errors;
}
