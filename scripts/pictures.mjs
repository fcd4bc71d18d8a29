/**
 * `npm run pictures`: takes the README's pictures from the real window: the built bench process on the
 * practice bench, in a headless browser. A fault and a seed are given so that the pictures come out
 * the same in what they show.
 */
import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { findBrowser, root, say } from "./setup.mjs";

const folder = join(root, "docs", "pictures");
const jobs = mkdtempSync(join(tmpdir(), "leadhand-pictures-"));
const executablePath = findBrowser();
if (!executablePath) {
  console.error(
    "leadhand: the pictures need a Chromium-family browser; LEADHAND_BROWSER names one.",
  );
  process.exit(1);
}

mkdirSync(folder, { recursive: true });
const bench = spawn(
  process.execPath,
  [join(root, "dist/electron/bench/main.js"), "--fault", "switch-burnt", "--seed", "4"],
  { env: { ...process.env, LEADHAND_JOBS: jobs }, stdio: ["ignore", "pipe", "inherit"] },
);
const address = await new Promise((resolve) => {
  bench.stdout.once("data", (text) => resolve(String(text).trim()));
});
const browser = await chromium.launch({
  executablePath,
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"],
});
const page = await browser.newPage({ viewport: { width: 1280, height: 860 } });
await page.goto(address);

const take = async (name) => {
  await page.screenshot({ path: join(folder, `${name}.png`) });
  say(`took ${name}.png`);
};
const minutes = 60_000;
await page
  .locator('[data-testid=ledger-row][data-step="pack-sag"]')
  .waitFor({ timeout: 3 * minutes });
await page.locator('[data-testid=contact][data-contact="settling"]').waitFor({ timeout: minutes });
await take("bench");
await page.getByTestId("fail-card").waitFor({ timeout: 3 * minutes });
await take("failed");
await page.getByTestId("finish-card").waitFor({ timeout: 3 * minutes });
await take("finished");

await browser.close();
bench.kill("SIGTERM");
await new Promise((resolve) => bench.once("exit", resolve));
rmSync(jobs, { recursive: true, force: true });
