import { mkdir } from "node:fs/promises";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { openBrowser } from "./browser.js";
import { openLiveBench } from "./live-bench.js";
import type { LiveBench } from "./live-bench.js";
import { smallPlan, volts } from "./small-plan.js";
import { accessibilityFaults, cutText } from "./looks.js";

/** The order of a plan by hand: skipped with a reason, repeated, taken out of order; also by keys alone. */
const plan = smallPlan([
  volts("first", "First"),
  {
    kind: "do",
    id: "pack-in",
    title: "Put the pack in",
    instruction: "Put the pack in.",
    cautions: ["moving-tool"],
    sets: { pack: "in" },
  },
  { ...volts("third", "Third"), condition: { pack: "in" } },
  { ...volts("fourth", "Fourth"), condition: { pack: "in" } },
]);

let browser: Browser;
let live: LiveBench;
let page: Page;

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  live = await openLiveBench(browser, { width: 1024, height: 700 });
  ({ page } = live);
  await live.run(plan);
  await page.getByTestId("meter-state").filter({ hasText: /live/i }).waitFor();
});
afterEach(async () => {
  expect(live.errors).toEqual([]);
  await live.close();
});

const title = () => page.getByTestId("step-title").textContent();
const row = (step: string) => page.locator(`[data-testid="ledger-row"][data-step="${step}"]`);
const focused = () => page.evaluate(() => document.activeElement?.textContent ?? "");

/** Presses Tab until the focus is on what reads so. */
async function tabTo(words: string): Promise<void> {
  for (let n = 0; n < 40 && (await focused()) !== words; n += 1) await page.keyboard.press("Tab");
  expect(await focused()).toBe(words);
}

async function looksRight(name: string): Promise<void> {
  await page.screenshot({ path: `dist/screens/order-${name}-1024.png` });
  expect(await cutText(page)).toEqual([]);
  expect(await accessibilityFaults(page)).toEqual([]);
}

describe("skipping", () => {
  it("asks for a reason, which stands in the record", async () => {
    await page.getByRole("button", { name: "Skip this step" }).click();
    await looksRight("skip");
    await page.getByLabel("the points cannot be reached").check();
    await page.getByRole("button", { name: "Skip it" }).click();
    await expect.poll(title).toBe("Put the pack in");
    await expect.poll(() => row("first").textContent()).toContain("the points cannot be reached");
  });

  it("takes a person's own words, and none without words", async () => {
    await page.getByRole("button", { name: "Skip this step" }).click();
    await page.getByLabel("another reason:").check();
    expect(await page.getByRole("button", { name: "Skip it" }).isDisabled()).toBe(true);
    await page.getByLabel("In your own words").fill("lead is glued in");
    await page.getByRole("button", { name: "Skip it" }).click();
    await expect.poll(() => row("first").textContent()).toContain("lead is glued in");
  });

  it("works by the keyboard alone, and by one pedal pressed twice", async () => {
    await tabTo("Skip this step");
    await page.keyboard.press("Enter");
    await page.getByTestId("skip-dialog").getByRole("radio").first().waitFor();
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    await expect.poll(() => row("first").textContent()).toContain("the points cannot be reached");

    await page.evaluate(() => {
      const keys = { confirm: null, repeat: null, skip: "F7" };
      localStorage.setItem("leadhand-settings", JSON.stringify({ keys }));
    });
    await page.reload();
    await page.getByTestId("step-title").waitFor();
    await page.keyboard.press("F7");
    await page.getByTestId("skip-dialog").getByRole("radio").first().waitFor();
    await page.keyboard.press("F7");
    await expect.poll(() => row("pack-in").textContent()).toContain("cannot be done on this tool");
  });
});

describe("another order", () => {
  it("takes any step now, says first what the tool needs, and goes on with what is open", async () => {
    await tabTo("All steps");
    await page.keyboard.press("Enter");
    await page.getByTestId("steps-row").nth(3).waitFor();
    await looksRight("steps");
    await page.getByRole("button", { name: "Take it now: Fourth" }).press("Enter");
    await expect.poll(title).toBe("Fourth");
    expect(await page.locator(".instruction .words").textContent()).toBe(
      "First put the pack in. Measure Fourth.",
    );
    await live.meter.play(["0.002 V DC", 600], ["9.40 V DC", 0]);
    await row("fourth").waitFor();
    await expect.poll(title).toBe("First");
  });

  it("repeats the last step, and any other", async () => {
    await live.meter.play(["0.002 V DC", 600], ["9.40 V DC", 0]);
    await row("first").waitFor();
    await live.meter.play(["0.002 V DC", 1500]);
    await page.getByRole("button", { name: "Repeat the last step" }).click();
    await expect.poll(title).toBe("First");
    live.meter.show("9.10 V DC");
    await expect.poll(() => row("first").count(), { timeout: 10_000 }).toBe(2);
    await page.getByRole("button", { name: "All steps" }).click();
    await page.getByRole("button", { name: "Once more: First" }).click();
    await expect.poll(title).toBe("First");
  });
});
