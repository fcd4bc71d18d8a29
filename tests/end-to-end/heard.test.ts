import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { TONES } from "../../renderer/sound/tones.js";
import { answers, begin, hello, meter, path, recorded, run } from "../renderer/scenario.js";
import { ScriptedBench } from "../renderer/scripted-bench.js";
import { openAudibleBrowser } from "./browser.js";
import { Ears, missingForEars } from "./ears.js";

const missing = missingForEars();
if (missing.length > 0) {
  console.log(`skipped: hearing the window needs Debian's ${missing.join(" ")}`);
}

describe.skipIf(missing.length > 0)("the window, heard by a microphone on its sound server", () => {
  let ears: Ears;
  let browser: Browser;
  let bench: ScriptedBench;
  let page: Page;

  beforeAll(async () => {
    ears = new Ears();
    await ears.open();
    browser = await openAudibleBrowser(ears.env);
    bench = new ScriptedBench("dist/renderer", answers);
    bench.show([
      hello,
      meter("live"),
      { type: "run", run },
      { type: "path", path },
      begin("pack-open", { low: 17.5, high: 21 }),
      { type: "clock", time_s: 100 },
    ]);
    page = await browser.newPage();
    await page.goto(await bench.open());
    await page.getByTestId("step-title").waitFor();
  });
  afterAll(async () => {
    await browser.close();
    await bench.close();
    ears.close();
  });

  it("sounds the tones of a pass, each at its pitch, though nobody has touched the page", async () => {
    await expect.poll(() => page.getByText("Switch sound on").count()).toBe(0);
    bench.send(recorded("pack-open", "pass", 19.84));
    for (const { from_hz } of TONES.pass) await ears.tone(from_hz);
  });

  it("says the verdict with the computer's own voice", async () => {
    await page.getByRole("button", { name: "Settings" }).click();
    await page.getByText("This computer offers no voice").waitFor({ state: "detached" });
    ears.forget();
    bench.send(recorded("pack-open", "pass", 19.84));
    const tones_s = TONES.pass.reduce((sum, { for_s }) => sum + for_s, 0);
    await ears.sound(tones_s + 0.8);
    expect(await page.getByTestId("caption").textContent()).toMatch(/pass/i);
  });
});
