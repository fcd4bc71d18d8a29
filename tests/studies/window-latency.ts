import { openBrowser } from "../end-to-end/browser.js";
import { ScriptedBench } from "../renderer/scripted-bench.js";
import { recordPainted, reportDelays, type Shown } from "./painted.js";
import { contact, scenes, trace, volts } from "../renderer/scenario.js";

/**
 * How long a reading takes from the bench process to the pixels of the window, with the whole bench
 * on screen and its plot running. In display frames, because that is what the eye waits for; the
 * bar is three at the 99th percentile for the whole way from the wire.
 * Needs the built window: `npm run build`, then `node scripts/run-ts.mjs tests/studies/window-latency.ts`.
 */
const READINGS = 600;

const bench = new ScriptedBench("dist/renderer");
bench.show([...(scenes["full"] ?? []), { type: "clock", time_s: 100 }]);
const browser = await openBrowser();
const page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
await page.goto(await bench.open());
await page.getByTestId("reading-digits").waitFor();
await recordPainted(page);

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
reportDelays("bench to pixel", READINGS, shown, sent);
await browser.close();
await bench.close();

function now_ms(): number {
  return performance.timeOrigin + performance.now();
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
