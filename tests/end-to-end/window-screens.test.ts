import { mkdir } from "node:fs/promises";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { orderScenes } from "../renderer/order-scenes.js";
import { answers, scenes } from "../renderer/scenario.js";
import { ScriptedBench } from "../renderer/scripted-bench.js";
import { consoleErrors, openBrowser } from "./browser.js";
import { accessibilityFaults, cutText } from "./looks.js";

const SIZES = [
  { width: 1024, height: 700 },
  { width: 1920, height: 1080 },
];
const THEMES = ["light", "dark", "bench"];
/** Pictures of every scene, to be looked at by a person. */
const FOLDER = "dist/screens";

let browser: Browser;
let bench: ScriptedBench;
let address: string;

beforeAll(async () => {
  await mkdir(FOLDER, { recursive: true });
  browser = await openBrowser();
  bench = new ScriptedBench("dist/renderer", answers);
  address = await bench.open();
});

afterAll(async () => {
  await browser.close();
  await bench.close();
});

describe.each(SIZES)("the window at $width × $height", (viewport) => {
  it.each(THEMES)("shows every scene in the %s theme, whole and accessible", async (theme) => {
    const page = await browser.newPage({ viewport });
    const errors = consoleErrors(page);
    const faults: string[] = [];
    await page.addInitScript(
      (name) => localStorage.setItem("leadhand-settings", name),
      JSON.stringify({ theme }),
    );
    bench.show(scenes["start"] ?? []);
    await page.goto(address);
    for (const [name, events] of Object.entries({ ...scenes, ...orderScenes })) {
      bench.show(events);
      await settled(page);
      await page.screenshot({ path: `${FOLDER}/${name}-${theme}-${viewport.width}.png` });
      for (const found of await cutText(page)) faults.push(`${name}: cut ${found}`);
      for (const found of await accessibilityFaults(page)) faults.push(`${name}: ${found}`);
    }
    expect(faults).toEqual([]);
    expect(errors).toEqual([]);
    await page.close();
  });
});

/** Two frames drawn and the plot's next turn taken. */
async function settled(page: Page): Promise<void> {
  await page.evaluate(async () => {
    await document.fonts.ready;
    await new Promise((resolve) => setTimeout(resolve, 250));
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
  });
}
