import { mkdir } from "node:fs/promises";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { openBrowser } from "./browser.js";
import { openLiveBench } from "./live-bench.js";
import type { LiveBench } from "./live-bench.js";
import { accessibilityFaults, cutText } from "./looks.js";

/** The plan editor on the real bench: what a shop changes, and what must not get lost. */
let browser: Browser;
let live: LiveBench;
let page: Page;

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  live = await openLiveBench(browser);
  ({ page } = live);
  await openPlan("Cordless drill, brushed motor, mechanical switch");
});
afterEach(async () => {
  expect(live.errors).toEqual([]);
  await live.close();
});

const button = (name: string | RegExp) => page.getByRole("button", { name, exact: true });
const field = (name: string) => page.getByLabel(name, { exact: true });
const json = () => page.getByLabel("The plan as JSON");
const form = () => page.getByTestId("step-form");
const planNow = async () =>
  JSON.parse(await json().inputValue()) as {
    steps: Record<string, unknown>[];
  };

async function openPlan(title: string): Promise<void> {
  await button("Plans").click();
  await button(title).click();
  await checkedFine();
}

async function checkedFine(): Promise<void> {
  await page.getByText("Checked: nothing found wrong.").waitFor();
}

async function goToStep(title: string): Promise<void> {
  // Of steps with one title, as taking the pack out once more, the first.
  await page.getByTestId("step-list").getByRole("button", { name: title }).first().click();
  await form().getByText(title).first().waitFor();
}

describe("the form", () => {
  it("changes what is measured, and the text follows", async () => {
    await goToStep("Pack, open circuit");
    await field("Dial").selectOption("resistance");
    await page.getByTestId("said").filter({ hasText: "plan/ohms-across-source" }).first().waitFor();
    await field("Dial").selectOption("voltage");
    await field("Black on").selectOption("terminal-minus");
    await field("Watch").selectOption("sag");
    await field("Held for, seconds").fill("3");
    await field("Trigger").selectOption("worked");
    await field("Judged").selectOption("floor");
    await field("Rule").selectOption("simple");
    await field("Polarity").selectOption("as-marked");
    await field("Zero or open").selectOption("accept");
    expect((await planNow()).steps[6]).toMatchObject({
      quantity: "voltage",
      black: "terminal-minus",
      condition: { trigger: "worked" },
      watch: { kind: "sag", hold_s: 3 },
      judged: "floor",
      rule: "simple",
      polarity: "as-marked",
      zero: "accept",
    });
  });

  it("says at the field what is wrong with a formula, as it is typed", async () => {
    await goToStep("Pack, open circuit");
    await field("At least: number or formula").fill("cels * 3.5");
    const said = page.getByTestId("said").filter({ hasText: 'Did you mean "cells"?' });
    await said.waitFor();
    expect(await field("At least: number or formula").getAttribute("aria-invalid")).toBe("true");
    expect(await button("Keep the plan").isDisabled()).toBe(true);
    await page.screenshot({ path: "dist/screens/plan-edit-wrong-1280.png" });
    await field("At least: number or formula").fill("cells * 3.4");
    await said.waitFor({ state: "detached" });
    await checkedFine();
  });

  it("adds, copies, moves, renames and removes steps; undo brings one back", async () => {
    await goToStep("Take the pack out");
    await page.getByLabel("Kind of the new step").selectOption("look");
    await button("Add a step after this").click();
    await field("Title of the step").fill("Smell of the switch");
    await field("Answer").first().fill("none");
    await button("One more answer").click();
    await field("Answer").nth(2).fill("hard to say");
    const looked = (await planNow()).steps.find(({ title }) => title === "Smell of the switch");
    expect(looked).toMatchObject({ kind: "look", choices: [{ label: "none" }, {}, {}] });
    await button("Earlier").click();
    await field("Id of the step").fill("smell");
    await page.keyboard.press("Tab");
    await expect.poll(async () => (await planNow()).steps.map(({ id }) => id)).toContain("smell");
    await field("Kind of step").selectOption("wait");
    await field("How long, seconds").fill("5");
    await button("Copy").click();
    const count = (await planNow()).steps.length;
    await button("Remove the step").click();
    expect((await planNow()).steps).toHaveLength(count - 1);
    await button("Undo").click();
    expect((await planNow()).steps).toHaveLength(count);
    await checkedFine();
  });

  it("edits what comes off, what goes back on, needs and cautions", async () => {
    await goToStep("Open the case");
    await field("Screws").fill("9");
    await goToStep("Close the case");
    await page.getByRole("checkbox", { name: "upper half of the case" }).uncheck();
    await goToStep("Pack, open circuit");
    await page.getByRole("checkbox", { name: "lithium damaged" }).uncheck();
    await button("Add a step that it needs").click();
    await field("Came out as").selectOption("any");
    const { steps } = await planNow();
    expect(steps.find(({ id }) => id === "open-case")).toMatchObject({ removes: { fasteners: 9 } });
    expect(steps.find(({ id }) => id === "close-case")).toMatchObject({ putsBack: [] });
    expect(steps[6]).toMatchObject({
      cautions: ["pack"],
      needs: [{ step: "charger-off", verdict: "any" }],
    });
  });
});

describe("work that is not kept", () => {
  it("is there again after leaving, after a reload, and is thrown away only when asked", async () => {
    await field("Title of the plan").fill("Our own plan");
    await page.getByTestId("unkept").waitFor();
    await button("All plans").click();
    await page.reload();
    await page.getByTestId("start").waitFor();
    await button("Plans").click();
    await button("Cordless drill, brushed motor, mechanical switch").click();
    await page.getByRole("heading", { name: "Our own plan" }).waitFor();
    await button("Throw the changes away").click();
    await page.getByRole("heading", { name: "Cordless drill, brushed" }).waitFor();
    expect(await page.getByTestId("unkept").count()).toBe(0);
    await button("Undo").click();
    await page.getByRole("heading", { name: "Our own plan" }).waitFor();
  });

  it("is kept as the shop's own, under a name that is free", async () => {
    await field("Title of the plan").fill("Our own plan");
    await button("Keep the plan").click();
    await page.getByText("plan/id-taken").waitFor();
    await field("Id of the plan").fill("our-own");
    await checkedFine();
    await button("Keep the plan").click();
    await page.getByText("the shop's own").waitFor();
    await button("Our own plan").click();
    await checkedFine();
    expect(await page.getByTestId("unkept").count()).toBe(0);
  });

  it("is tried on the practice bench, and one comes back to it", async () => {
    await field("Title of the plan").fill("Plan on trial");
    await checkedFine();
    await button("Try it on the practice bench").click();
    await page.getByLabel("Hidden in it").selectOption({ index: 5 });
    await page.screenshot({ path: "dist/screens/plan-edit-try-1280.png" });
    await button("Start the trial").click();
    await page.getByTestId("step-title").waitFor();
    await page.locator(".bench-top").getByText("Plan on trial").waitFor();
    await button("Stop the plan").click();
    await button("To the desk").click();
    await page.getByRole("heading", { name: "Plan on trial" }).waitFor();
    await page.getByTestId("unkept").waitFor();
  });
});

describe("the text", () => {
  it("may be anything while it is typed; the form waits", async () => {
    const text = await json().inputValue();
    await json().fill(text.slice(0, -20));
    await page.getByText("plan/not-json").waitFor();
    await page.getByText("The form comes back").waitFor();
    expect(await button("Keep the plan").isDisabled()).toBe(true);
    await json().fill(text);
    await checkedFine();
    await json().fill(text.replace('"kind": "cordless-brushed"', '"kind": 7'));
    await page.getByTestId("said").filter({ hasText: "string is expected" }).waitFor();
  });
});

describe("looks", () => {
  it.each([
    [1280, 800, "light"],
    [1024, 700, "dark"],
  ])("right at %i × %i, %s", async (width, height, theme) => {
    await page.setViewportSize({ width, height });
    await page.evaluate((name) => (document.documentElement.dataset["theme"] = name), theme);
    for (const title of ["Open the case", "Pack under load", "Chuck, turned by hand"]) {
      await goToStep(title);
      const name = title.split(",")[0]!.toLowerCase().replaceAll(" ", "-");
      await page.screenshot({ path: `dist/screens/plan-edit-${name}-${theme}.png` });
      await form().scrollIntoViewIfNeeded();
      await page.screenshot({ path: `dist/screens/plan-edit-${name}-${theme}-form.png` });
      expect(await cutText(page, "scrolling")).toEqual([]);
      expect(await accessibilityFaults(page)).toEqual([]);
    }
  });
});
