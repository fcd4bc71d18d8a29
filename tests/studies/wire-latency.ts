import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openBenchWindow } from "../end-to-end/bench-window.js";
import { openBrowser } from "../end-to-end/browser.js";
import { segmentFrame } from "../end-to-end/players/segment-frames.mjs";
import { ptyPair } from "../end-to-end/processes.js";
import { recordPainted, reportDelays, type Shown } from "./painted.js";

/**
 * How long a frame takes from the serial line to the pixels of the window, through the built program:
 * pty, serialport, raw log, decoder, runner, socket, page. Each frame is written whole, since pacing it
 * like 2400 baud would only measure the baud rate.
 * Needs the build: `npm run build`, then `node scripts/run-ts.mjs tests/studies/wire-latency.ts`.
 */
const READINGS = 400;

const jobs = mkdtempSync(join(tmpdir(), "leadhand-latency-"));
const pty = await ptyPair();
const wire = openSync(pty.far, "w");
const browser = await openBrowser();
const address = `serial:${pty.near}?protocol=segment-14&baud=2400`;
const window = await openBenchWindow(browser, ["--meter", address], jobs);
writeSync(wire, segmentFrame("9.999", "V dc"));
await pause(500);
writeSync(wire, segmentFrame("9.998", "V dc"));
await window.page.getByTestId("reading-digits").filter({ hasText: "9.998" }).waitFor();
await recordPainted(window.page);

const sent = new Map<string, number>();
for (let at = 0; at < READINGS; at += 1) {
  const digits = (10 + at / 100).toFixed(2);
  sent.set(digits, performance.timeOrigin + performance.now());
  writeSync(wire, segmentFrame(digits, "V dc"));
  // Meters do not tick with the display: every phase between two frames is met.
  await pause(95 + ((at * 7) % 20));
}
await pause(300);
const shown = await window.page.evaluate(() => (globalThis as unknown as { shown: Shown[] }).shown);
reportDelays("wire to pixel", READINGS, shown, sent);
await window.close();
await browser.close();
closeSync(wire);
await pty.close();
rmSync(jobs, { recursive: true, force: true });

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
