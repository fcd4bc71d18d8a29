import { mkdir } from "node:fs/promises";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { readJob } from "../../workbench/job/read-job.js";
import { openBrowser } from "./browser.js";
import { openLiveBench } from "./live-bench.js";
import type { LiveBench } from "./live-bench.js";
import { accessibilityFaults, cutText } from "./looks.js";
import { smallPlan, volts } from "./small-plan.js";

/** The choice of order and free probing in the window: the probes and the meter's key alone. */
const LIFTED = "0.002 V DC";
const PACK = "19.84 V DC";
const SLOW = { timeout: 20_000 };
const plan = smallPlan([
  volts("pack", "Pack", { red: "pack-plus", black: "pack-minus", cautions: ["pack"] }),
  volts("proof", "Known source"),
  {
    kind: "do",
    id: "pack-in",
    title: "Put the pack in",
    instruction: "Put the pack in.",
    cautions: ["moving-tool"],
    sets: { pack: "in" },
  },
]);

let browser: Browser;
let live: LiveBench;
let page: Page;
let folder: string;

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  live = await openLiveBench(browser, { width: 1024, height: 700 });
  ({ page } = live);
  folder = await live.run(plan);
  await page.getByTestId("meter-state").filter({ hasText: /live/i }).waitFor();
});
afterEach(async () => {
  expect(live.errors).toEqual([]);
  await live.close();
});

const choose = (title: string) =>
  page.getByTestId("order-switch").getByRole("radio", { name: title }).click();
const words = () => page.getByTestId("free-words").textContent();
const asked = () => page.getByTestId("free-matches").locator("[aria-current]").textContent();
const kept = async (kind: string) =>
  (await readJob(folder)).lines.map(({ event }) => event).filter((event) => event.kind === kind);

async function looksRight(name: string): Promise<void> {
  await page.screenshot({ path: `dist/screens/free-${name}-1024.png` });
  expect(await cutText(page)).toEqual([]);
  expect(await accessibilityFaults(page)).toEqual([]);
}

describe("free probing", () => {
  beforeEach(async () => {
    await choose("Free");
    await page.getByTestId("free-panel").waitFor();
  });

  it("asks where the reading is, takes a no by lifting, and a yes by staying", async () => {
    expect(await page.getByTestId("cautions").textContent()).toContain("hundreds of amperes");
    await live.meter.play([LIFTED, 600], [PACK, 0]);
    await expect.poll(words, SLOW).toMatch(/^19.8 V: from .* Stay, or press HOLD, for yes/);
    const first = await asked();
    await looksRight("asking");
    // A wrong place: the probes leave, and the same reading again is asked for elsewhere.
    live.meter.show(LIFTED);
    await expect.poll(words, SLOW).toContain("Not there");
    expect(await kept("probed")).toEqual([]);
    live.meter.show(PACK);
    await expect.poll(words, SLOW).toContain("Stay");
    const second = await asked();
    expect(second).not.toBe(first);
    await expect.poll(words, SLOW).toContain("Recorded: 19.8 V");
    expect(await kept("probed")).toMatchObject([{ how: "stayed", value: 19.84 }]);
    expect(await page.getByTestId("free-taken").textContent()).toContain("19.8 V");
    await looksRight("taken");
  });

  it("hears the trigger in the reading while the probes stay, and a yes in letting it go", async () => {
    const place = "from pack plus to pack minus (pack in the tool, trigger squeezed)";
    await page.getByLabel("Or say first where the probes go").selectOption({ label: place });
    await live.meter.play([LIFTED, 600], ["17.90 V DC", 0]);
    await expect.poll(words, SLOW).toContain("Recorded: 17.9 V");
    live.meter.show(PACK);
    await expect.poll(words, SLOW).toMatch(/^19.8 V: .*trigger released.* move the trigger back/);
    live.meter.show("17.90 V DC");
    await expect.poll(words, SLOW).toContain("Recorded: 19.8 V");
    expect(await kept("probed")).toMatchObject([
      { how: "declared", condition: "squeezed", value: 17.9 },
      { how: "let-go", condition: "at-rest", value: 19.84 },
    ]);
  });

  it("lets the proposal go on by the HOLD key, with nothing on the probes", async () => {
    await live.meter.play([LIFTED, 800], [`${LIFTED} HOLD`, 600], [LIFTED, 0]);
    await expect.poll(words, SLOW).toContain("Press HOLD for yes; wait for no.");
    await expect.poll(words, { timeout: 30_000 }).toContain("Shall the proposal go on?");
    live.meter.show(`${LIFTED} HOLD`);
    await page.getByTestId("step-title").waitFor();
    expect(await kept("order")).toMatchObject([
      { order: "fixed" },
      { order: "free" },
      { order: "proposed" },
    ]);
  });
});

describe("the choice of order", () => {
  it("is changed at any time, said why, and kept for the shop's next job", async () => {
    const title = () => page.getByTestId("step-title").textContent();
    await expect.poll(title).toBe("Pack");
    await choose("Proposed");
    await page.getByTestId("why").waitFor();
    await looksRight("proposed");
    await choose("Free");
    await page.getByTestId("free-panel").waitFor();
    await choose("Fixed");
    await expect.poll(title, SLOW).toBe("Pack");
    await choose("Proposed");
    await page.getByTestId("why").waitFor();
    await page.getByRole("button", { name: "Stop the plan" }).click();
    await page.getByRole("button", { name: "To the desk" }).click();
    await page.getByTestId("options-order").waitFor();
    expect(await page.getByRole("radio", { name: /^Proposed/ }).isChecked()).toBe(true);
    // The next job begins as was chosen, without another word.
    await live.bench.answer({ id: 1, call: "readOrder", params: {} }).then((reply) => {
      expect(reply).toMatchObject({ ok: true, result: { order: "proposed" } });
    });
  });
});
