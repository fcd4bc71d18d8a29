import { mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { readJob } from "../../workbench/job/read-job.js";
import { scriptedIo } from "../electron/scripted-io.js";
import { openBenchWindow } from "./bench-window.js";
import { openBrowser } from "./browser.js";
import { openLiveBench } from "./live-bench.js";
import type { LiveBench } from "./live-bench.js";
import { smallPlan } from "./small-plan.js";
import { accessibilityFaults, cutText } from "./looks.js";

/** Taking apart and closing up in the window: what a person does, and what is on disk of it. */

// Chromium's own moving test picture in the place of a camera; nobody is asked.
const CAMERA = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"];
const plan = smallPlan([
  {
    kind: "do",
    id: "open-case",
    title: "Open the case",
    instruction: "Undo the case screws and lift the upper half off.",
    sets: { case: "open" },
    removes: { what: "upper half", from: "case", fasteners: 8, fastenerKind: "screw 4 × 16" },
  },
  {
    kind: "do",
    id: "close-case",
    title: "Close the case",
    instruction: "Put the upper half back. Then touch the probe tips together.",
    sets: { case: "closed" },
    putsBack: ["open-case"],
  },
]);

let browser: Browser;
let live: LiveBench;

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  browser = await openBrowser(CAMERA);
});
afterAll(() => browser.close());

/** The journal's events of one kind. */
async function kept(folder: string, kind: string) {
  const { lines } = await readJob(folder);
  return lines.map(({ event }) => event).filter((event) => event.kind === kind);
}

async function looksRight(name: string): Promise<void> {
  const { page } = live;
  await page.screenshot({ path: `dist/screens/apart-${name}.png` });
  expect(await cutText(page)).toEqual([]);
  expect(await accessibilityFaults(page)).toEqual([]);
}

describe.each([
  { width: 1280, height: 800 },
  { width: 1024, height: 700 },
])("at $width × $height", (viewport) => {
  it("keeps what came off, with photos, and counts what is left over", async () => {
    live = await openLiveBench(browser, viewport);
    const { page } = live;
    const folder = await live.run(plan);
    const removal = page.getByTestId("removal");
    // Begun with what is usual.
    await removal.first().waitFor();
    expect(await page.getByRole("textbox", { name: "What came off" }).inputValue()).toBe(
      "upper half",
    );
    expect(await page.getByRole("spinbutton", { name: "Screws", exact: true }).inputValue()).toBe(
      "8",
    );

    // A person counts seven, and takes a photo with the camera, which was off until now.
    await page.getByRole("spinbutton", { name: "Screws", exact: true }).fill("7");
    await page.getByRole("button", { name: "Take a photo" }).click();
    await page.getByRole("button", { name: "Take it" }).click();
    await page.getByTestId("photo").waitFor();

    // Something that the plan does not know came off too, with a photo from a file.
    await page.getByRole("button", { name: "Something else came off" }).click();
    await page.getByRole("textbox", { name: "What came off" }).nth(1).fill("belt clip");
    await page.getByLabel("From where").nth(1).fill("grip");
    await page.getByRole("spinbutton", { name: "Screws", exact: true }).nth(1).fill("1");
    const [photo] = await kept(folder, "photo");
    const file = join(folder, "picture.jpg");
    const camera = await readFile(join(folder, (photo as { file: string }).file));
    // JPEG readers pass over what follows the end marker: another picture, byte for byte.
    await writeFile(file, Buffer.concat([camera, Buffer.from("another")]));
    await page.locator("input[type=file]").nth(1).setInputFiles(file);
    await expect.poll(() => page.getByTestId("photo").count()).toBe(2);
    await looksRight(`open-${viewport.width}`);

    await page.getByRole("button", { name: "Done" }).click();
    await page.getByTestId("closing-list").waitFor();
    const entries = page.getByTestId("closing-entry");
    expect(await entries.allInnerTexts()).toEqual([
      expect.stringContaining("Back onto the grip: belt clip; 1 × fastener."),
      expect.stringContaining("Back onto the case: upper half; 7 × screw 4 × 16."),
    ]);
    await page.getByRole("button", { name: "Back on: belt clip" }).click();
    await page.getByLabel("Screws that went in: upper half").fill("6");
    await page.getByRole("button", { name: "Back on: upper half" }).click();
    await page.getByText("Left over: 0 parts, 1 × screw 4 × 16.").waitFor();
    await looksRight(`closing-${viewport.width}`);
    const button = page.getByTestId("apart-button");
    expect(await button.innerText()).toBe("Taken apart: all back");

    // The screw is found under the bench.
    await page.getByRole("button", { name: "Off again: upper half" }).click();
    await page.getByRole("button", { name: "Back on: upper half" }).click();
    await page.getByText("Nothing is left over.").waitFor();
    expect(live.errors).toEqual([]);

    // The plan ends early, and the job page and the command say the same.
    await page.getByRole("button", { name: "Stop the plan" }).click();
    await page.getByTestId("finish-card").waitFor();
    // Another day, in a bench process of its own.
    const later = await openBenchWindow(browser, ["--desk"], live.jobs);
    const desk = later.page;
    await desk.getByRole("button", { name: "Jobs", exact: true }).click();
    await desk.getByTestId("job-row").getByRole("button").click();
    await desk.getByTestId("job-apart").getByText("Nothing is left over.").waitFor();
    // A job that is closed is opened for what is put down, and closed again.
    await desk.getByRole("button", { name: "Off again: belt clip" }).click();
    await desk.getByText("Left over: 1 part, 1 × fastener.").waitFor();
    await desk.screenshot({ path: `dist/screens/apart-job-${viewport.width}.png`, fullPage: true });
    const io = scriptedIo();
    expect(await runProgram(["close-up", folder], io)).toBe(1);
    expect(io.lines).toEqual([
      expect.stringMatching(/^off {3}Back onto the grip: belt clip; 1 × fastener\. \[photos\//),
      expect.stringMatching(
        /^back {2}Back onto the case: upper half; 7 × screw 4 × 16\. \[photos\//,
      ),
    ]);
    expect(await kept(folder, "photo")).toHaveLength(2);
    await later.close();
    await live.close();
  });
});

it("says what to do where there is no camera", async () => {
  const bare = await openBrowser();
  live = await openLiveBench(bare);
  await live.run(plan);
  await live.page.getByRole("button", { name: "Take a photo" }).click();
  await live.page.getByTestId("camera").getByRole("alert").waitFor();
  expect(await live.page.getByTestId("camera").innerText()).toContain("Add a file instead.");
  await live.close();
  await bare.close();
});
