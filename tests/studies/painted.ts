import type { Page } from "playwright-core";

const FRAME_MS = 1000 / 60;

export interface Shown {
  readonly digits: string;
  readonly at_ms: number;
}

/** Notes when a change of the digits has been painted: the task after the frame that draws it. */
export async function recordPainted(target: Page): Promise<void> {
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

/** Prints the percentiles of the way from `sent` to `shown`, in milliseconds and display frames. */
export function reportDelays(
  way: string,
  readings: number,
  shown: readonly Shown[],
  sent: ReadonlyMap<string, number>,
): void {
  const sorted = shown
    .map(({ digits, at_ms }) => at_ms - (sent.get(digits) ?? NaN))
    .filter((delay) => !Number.isNaN(delay))
    .sort((a, b) => a - b);
  const share = (part: number): number => sorted[Math.floor(part * (sorted.length - 1))] ?? NaN;
  const text = (ms: number): string => `${ms.toFixed(1)} ms (${(ms / FRAME_MS).toFixed(2)} frames)`;
  console.log(`${sorted.length} of ${readings} readings painted one by one`);
  const marks = [0.5, 0.9, 0.95, 0.99].map((part) => `p${part * 100} ${text(share(part))}`);
  console.log(`${way}: ${marks.join(", ")}`);
  console.log(`three frames are ${(3 * FRAME_MS).toFixed(1)} ms`);
}
