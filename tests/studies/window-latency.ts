import type { Page } from "playwright-core";
import { openBrowser } from "../end-to-end/browser.js";
import { ScriptedBench } from "../renderer/scripted-bench.js";
import { contact, scenes, trace, volts } from "../renderer/scenario.js";

/**
 * How long a reading takes from the bench process to the pixels of the window, with the whole bench
 * on screen and its plot running. In display frames, because that is what the eye waits for; the
 * bar is three at the 99th percentile for the whole way from the wire.
 * Needs the built window: `npm run build`, then `node scripts/run-ts.mjs tests/studies/window-latency.ts`.
 */
const READINGS = 600;
const FRAME_MS = 1000 / 60;

interface Shown {
  readonly digits: string;
  readonly at_ms: number;
}

const bench = new ScriptedBench("dist/renderer");
bench.show([...(scenes["full"] ?? []), { type: "clock", time_s: 100 }]);
const browser = await openBrowser();
const page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
await page.goto(await bench.open());
await page.getByTestId("reading-digits").waitFor();
await record(page);

const sent = new Map<string, number>();
for (let at = 0; at < READINGS; at += 1) {
  const digits = (10 + at / 100).toFixed(2);
  sent.set(digits, now_ms());
  bench.send(volts(digits, 100 + at / 25));
  bench.send(contact("switch-out", "settling", at % 40, 0.5));
  if (at % 5 === 0) bench.send(trace());
  // Meters do not tick with the display: every phase between two frames is met.
  await pause(25 + ((at * 7) % 20));
}
await pause(200);
const shown = await page.evaluate(() => (globalThis as unknown as { shown: Shown[] }).shown);
report(shown.flatMap(({ digits, at_ms }) => at_ms - (sent.get(digits) ?? NaN)));
await browser.close();
await bench.close();

/** Notes when a change of the digits has been painted: the task after the frame that draws it. */
async function record(target: Page): Promise<void> {
  await target.evaluate(() => {
    const list: Shown[] = [];
    Object.assign(globalThis, { shown: list });
    const digits = document.querySelector('[data-testid="reading-digits"]');
    if (digits === null) throw new Error("no digits on the page");
    new MutationObserver(() => {
      const text = digits.textContent;
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () =>
          list.push({ digits: text, at_ms: performance.timeOrigin + performance.now() });
        port2.postMessage(null);
      });
    }).observe(digits, { subtree: true, childList: true, characterData: true });
  });
}

function report(delays_ms: readonly number[]): void {
  const sorted = delays_ms.filter((delay) => !Number.isNaN(delay)).sort((a, b) => a - b);
  const share = (part: number): number => sorted[Math.floor(part * (sorted.length - 1))] ?? NaN;
  const text = (ms: number): string => `${ms.toFixed(1)} ms (${(ms / FRAME_MS).toFixed(2)} frames)`;
  console.log(`${sorted.length} of ${READINGS} readings painted one by one`);
  const marks = [0.5, 0.9, 0.95, 0.99].map((part) => `p${part * 100} ${text(share(part))}`);
  console.log(`bench to pixel: ${marks.join(", ")}`);
  console.log(`three frames are ${(3 * FRAME_MS).toFixed(1)} ms`);
}

function now_ms(): number {
  return performance.timeOrigin + performance.now();
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
