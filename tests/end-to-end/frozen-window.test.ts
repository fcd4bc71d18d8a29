import { mkdtemp, readdir, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { nodeDisk } from "../../workbench/job/disk.js";
import { readJob } from "../../workbench/job/read-job.js";
import { readTraceItems } from "../../workbench/job/trace-scan.js";
import { openBenchWindow } from "./bench-window.js";
import { openBrowser } from "./browser.js";
import { Child, inRepo } from "./processes.js";

const FROZEN_MS = 10_000;

/** The bytes of a trace as they came off the link. */
async function rawText(trace: string): Promise<string> {
  let text = "";
  for await (const item of readTraceItems(nodeDisk, trace)) {
    if (item.kind !== "block") continue;
    for (const { bytes } of item.chunks) text += Buffer.from(bytes).toString("latin1");
  }
  return text;
}

let browser: Browser;
let jobs: string;

beforeAll(async () => {
  browser = await openBrowser();
  jobs = await mkdtemp(join(tmpdir(), "leadhand-frozen-"));
});

afterAll(async () => {
  await browser.close();
  await rm(jobs, { recursive: true, force: true });
});

it("keeps every byte while the window is frozen for ten seconds", { timeout: 90_000 }, async () => {
  const player = inRepo("tests/end-to-end/players/counting-player.mjs");
  const meter = new Child(process.execPath, [player]);
  const port = await meter.until(({ lines }) => lines[0]);
  const address = `tcp://127.0.0.1:${port}?protocol=ascii-line`;
  const window = await openBenchWindow(browser, ["--meter", address], jobs);
  const { page } = window;
  await page.getByTestId("reading-digits").filter({ hasText: /\d/ }).waitFor();

  // The page's one thread does nothing else for that long: no message is read, nothing is drawn.
  await page.evaluate((ms) => {
    const end = performance.now() + ms;
    while (performance.now() < end);
  }, FROZEN_MS);
  // It comes back to the present, not to a queue of ten seconds.
  const shown = page.getByTestId("reading-digits");
  const least = (FROZEN_MS / 1000) * 500 * 0.5;
  await expect
    .poll(async () => 1000 * Number(await shown.textContent()), { timeout: 10_000 })
    .toBeGreaterThan(least);

  meter.process.stdin.write("stop\n");
  const sent = Number((await meter.until(({ lines }) => lines[1])).replace("sent ", ""));
  // The last line is shown, so it was read.
  await expect.poll(() => shown.textContent(), { timeout: 10_000 }).toBe((sent / 1000).toFixed(3));
  const [job = ""] = await readdir(jobs);
  // Blocks reach the disk within 100 ms; the end of the bench process flushes the last.
  await window.close();
  const content = await readJob(join(jobs, job));
  const lines = (await rawText(join(jobs, job, "traces", "a.trace"))).trimEnd().split("\r\n");
  const expected = Array.from({ length: sent }, (_, n) => `${((n + 1) / 1000).toFixed(3)} VDC`);
  expect(sent).toBeGreaterThan(least);
  expect(lines).toEqual(expected);
  expect(content.damage).toEqual([]);
});
