import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { PlanInput } from "../../workbench/plan/schema.js";
import { openBrowser } from "./browser.js";
import { openLiveBench } from "./live-bench.js";
import type { LiveBench } from "./live-bench.js";
import { smallPlan, volts } from "./small-plan.js";

/** What both hands at the probes can say through the meter, in the window, with a scripted meter. */
const doing = (id: string, title: string): PlanInput["steps"][number] => ({
  kind: "do",
  id,
  title,
  instruction: `Do ${title}.`,
});
const brushes = { red: "brush-a", black: "brush-b" };

const LIFTED = "0.002 V DC";
const ON = "9.40 V DC";
const SLOW = { timeout: 10_000 };

let browser: Browser;
let live: LiveBench;
let page: Page;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  live = await openLiveBench(browser);
  ({ page } = live);
});
afterEach(async () => {
  expect(live.errors).toEqual([]);
  await live.close();
});

const run = async (...steps: PlanInput["steps"]) => {
  await live.run(smallPlan(steps));
  await page.getByTestId("meter-state").filter({ hasText: /live/i }).waitFor();
};
const title = () => page.getByTestId("step-title").textContent();
const caption = () => page.getByTestId("caption").textContent();
const row = (step: string) => page.locator(`[data-testid="ledger-row"][data-step="${step}"]`);
const prompt = () =>
  page
    .getByTestId("prompt")
    .textContent({ timeout: 300 })
    .catch(() => null);

describe("with the probes alone", () => {
  it("a held reading is judged, written in words, and the plan goes on", async () => {
    await run(volts("one", "One"), volts("two", "Two", brushes));
    live.meter.show(ON);
    await expect.poll(caption, SLOW).toContain("Pass: nine point four zero volts");
    await expect.poll(title, SLOW).toBe("Two");
    // The probe that has not moved is not the next step's reading.
    await live.meter.play([ON, 2500]);
    expect(await row("two").count()).toBe(0);
    await live.meter.play([LIFTED, 1400], ["9.10 V DC", 0]);
    await row("two").waitFor();
  });

  it("lifting and touching again within a second measures once more", async () => {
    await run(volts("one", "One"), volts("two", "Two", brushes));
    live.meter.show(ON);
    await expect.poll(() => row("one").count(), SLOW).toBe(1);
    await live.meter.play([LIFTED, 350], [ON, 0]);
    await expect.poll(() => row("one").count(), SLOW).toBe(2);
    expect(await row("two").count()).toBe(0);
  });

  it("a zero counts when it is proved: re-seated, shown the known source, and back", async () => {
    await run(volts("zero", "Zero", brushes), volts("two", "Two"));
    await expect.poll(prompt, SLOW).toContain("Lift both probes");
    await expect.poll(prompt, SLOW).toContain("touch the known source");
    await live.meter.play([ON, 1800]);
    await expect.poll(prompt, SLOW).toContain("Back");
    live.meter.show(LIFTED);
    await page.getByTestId("fail-card").waitFor({ timeout: 15_000 });
    expect(await page.getByTestId("fail-card").textContent()).toContain("zero proved");
  });

  it("a wrong dial is said as what to turn to", async () => {
    await run(volts("one", "One"));
    live.meter.show("OL MOhm");
    await expect.poll(prompt, SLOW).toBe("Turn the dial to DC volts; it is on ohms.");
    await expect.poll(caption, SLOW).toContain("Turn the dial to DC volts; it is on ohms.");
    live.meter.show(LIFTED);
    await expect.poll(prompt, SLOW).toBeNull();
  });

  it("when nothing happens the words are said once more, and then it is quiet", async () => {
    const again_s: number[] = [];
    let now_s = 0;
    // Until the meter has shown nothing for more than twice the time after which words are repeated.
    const quiet = new Promise<void>((resolve) => {
      live.bench.subscribe((event) => {
        if (event.type === "prompt" && event.kind === "again") again_s.push(now_s);
        if (event.type !== "reading") return;
        now_s = event.reading.time_s;
        if (now_s > 30) resolve();
      });
    });
    await run(doing("task", "the task"), volts("one", "One"));
    await quiet;
    expect(again_s).toHaveLength(1);
    expect(again_s[0]).toBeGreaterThan(11);
    expect(await caption()).toContain("When it is done");
  });
});

describe("a step that is done", () => {
  it("is confirmed with the meter's HOLD key, on and off again", async () => {
    await run(doing("task", "the task"), volts("one", "One"));
    await live.meter.play([LIFTED, 800], [`${LIFTED} HOLD`, 800], [LIFTED, 0]);
    await expect.poll(title, SLOW).toBe("One");
    expect(await row("task").textContent()).toContain("HOLD key");
  });

  it("is confirmed by going on to the next points", async () => {
    await run(doing("task", "the task"), volts("one", "One"));
    await live.meter.play([LIFTED, 800], [ON, 0]);
    await row("one").waitFor();
    expect(await row("task").textContent()).toContain("going on");
  });
});

describe("a pedal, which is a key to the computer", () => {
  it("is assigned in the settings and says yes from then on, wherever the focus is", async () => {
    await run(doing("task", "the task"), doing("other", "the other"), volts("one", "One"));
    await page.getByRole("button", { name: "Settings" }).click();
    const change = (action: string) =>
      page.getByRole("button", { name: new RegExp(`Change.*${action}`) });
    await change("Yes, done").click();
    await page.keyboard.press("F9");
    await change("Repeat the last step").click();
    await page.keyboard.press("F8");
    await page.getByRole("button", { name: "Close", exact: true }).click();
    await page.keyboard.press("F9");
    await expect.poll(title, SLOW).toBe("the other");
    await page.keyboard.press("F8");
    await expect.poll(title, SLOW).toBe("the task");
  });
});

describe("sound", () => {
  it("has volume, pace and mute, kept on this computer; captions stay", async () => {
    // A second step, so that the end of the run says nothing over the verdict.
    await run(volts("one", "One"), volts("two", "Two", brushes));
    await page.getByRole("button", { name: "Settings" }).click();
    await page.getByLabel(/^Volume/).fill("0.3");
    await page.getByLabel(/^Pace of speech/).fill("1.5");
    await page.getByLabel("Mute").check();
    await page.getByRole("button", { name: "Close", exact: true }).click();
    const kept = await page.evaluate(() => localStorage.getItem("leadhand-settings") ?? "");
    expect(JSON.parse(kept)).toMatchObject({ volume: 0.3, rate: 1.5, muted: true });
    await page.getByRole("button", { name: "Muted" }).waitFor();
    live.meter.show(ON);
    await expect.poll(caption, SLOW).toContain("Pass: nine point four zero volts");
  });
});
