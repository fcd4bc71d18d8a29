import { spawn } from "node:child_process";
import { accessSync, constants, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { delimiter, join } from "node:path";
import { pathToFileURL } from "node:url";
import { LeadhandError } from "../../protocols/error.js";

/** Prints an HTML file as PDF. Rejects with `pack/no-pdf`. */
export type PrintPdf = (html: string, pdf: string) => Promise<void>;

/** Programs of the Chromium family as they are called on the three systems. */
const NAMES = ["chromium", "chromium-browser", "google-chrome", "chrome", "msedge"];
const PLACES: Readonly<Record<string, readonly string[]>> = {
  darwin: [
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  ],
  win32: [
    "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
    "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
  ],
};

/** The installed browser that prints; null where there is none. LEADHAND_BROWSER names one. */
export function findPrinter(env: Readonly<Record<string, string | undefined>>): string | null {
  const named = env["LEADHAND_BROWSER"];
  if (named !== undefined) return isExecutable(named) ? named : null;
  const onPath = (env["PATH"] ?? "")
    .split(delimiter)
    .flatMap((folder) => NAMES.map((name) => join(folder, name)));
  return [...onPath, ...(PLACES[process.platform] ?? [])].find(isExecutable) ?? null;
}

/** Prints with a browser of its own profile, no network and a deadline. */
export function browserPrinter(browser: string, deadline_ms = 60_000): PrintPdf {
  return async (html, pdf) => {
    const profile = mkdtempSync(join(tmpdir(), "leadhand-print-"));
    try {
      const flags = [
        "--headless",
        `--user-data-dir=${profile}`,
        "--disable-gpu",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--host-resolver-rules=MAP * ~NOTFOUND",
        "--no-pdf-header-footer",
        // The browser refuses to run as root in its own sandbox; the page has no script to contain.
        ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
        `--print-to-pdf=${pdf}`,
        pathToFileURL(html).href,
      ];
      await run(browser, flags, deadline_ms);
      accessSync(pdf, constants.R_OK);
    } catch (thrown) {
      throw new LeadhandError("pack/no-pdf", {
        what: `The report could not be printed as PDF (${thrown instanceof Error ? thrown.message : String(thrown)}).`,
        action: "The pack is complete without it: the same report lies in it as HTML.",
        cause: thrown,
      });
    } finally {
      rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
    }
  };
}

function run(program: string, flags: readonly string[], deadline_ms: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, flags, { stdio: "ignore", timeout: deadline_ms });
    child.once("error", reject);
    child.once("exit", (code, signal) => {
      if (code === 0) resolve();
      else reject(new Error(signal === null ? `exit status ${code ?? "?"}` : "no answer in time"));
    });
  });
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
