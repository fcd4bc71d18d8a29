import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { Bench } from "../../electron/bench/bench.js";
import { serveBench } from "../../electron/bench/server.js";
import type { BenchServer } from "../../electron/bench/server.js";
import { systemClock } from "../../drivers/clock.js";
import { ShopIndex } from "../../workbench/jobs/shop-index.js";
import { createJob } from "../../workbench/job/job-folder.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { accessibilityFaults, cutText } from "./looks.js";
import { consoleErrors, openBrowser } from "./browser.js";

/** The quiet screens on the real bench, its real handlers and real files. */
let browser: Browser;
let bench: Bench;
let server: BenchServer;
let page: Page;
let jobs: string;
let errors: string[];

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  browser = await openBrowser();
});
afterAll(() => browser.close());

beforeEach(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-window-desk-"));
  const job = await createJob(join(jobs, "job-1"), {
    startedAt: "2026-01-02T10:00:00.000Z",
    programVersion: "0.0.0",
    practice: true,
    tool: { make: "Demo Works", model: "DW-18 Sample", serial: "1", complaint: "smells of smoke" },
    meters: [{ channel: "a", address: "practice:bench", protocol: "segment-14" }],
    plan: bundledPlan("cordless-brushed"),
  });
  await job.close();
  bench = new Bench({ begin: null, jobs }, systemClock, (place) => new ShopIndex(place));
  server = await serveBench(bench, join(process.cwd(), "dist/renderer"));
  page = await browser.newPage({ viewport: { width: 1024, height: 700 } });
  errors = consoleErrors(page);
  await page.goto(server.address);
  await page.getByTestId("start").waitFor();
});
afterEach(async () => {
  expect(errors).toEqual([]);
  await page.close();
  await bench.close();
  await server.close();
  await rm(jobs, { recursive: true, force: true });
});

async function looksRight(name: string): Promise<void> {
  await page.screenshot({ path: `dist/screens/desk-${name}-1024.png` });
  expect(await cutText(page, "scrolling")).toEqual([]);
  expect(await accessibilityFaults(page)).toEqual([]);
}

const go = (place: string) => page.getByRole("button", { name: place, exact: true }).click();

describe("the desk", () => {
  it("starts a practice run from the start screen", async () => {
    // Nothing chosen: the practice bench is what is there without a meter.
    await page.getByLabel("Hidden in the simulated tool").waitFor();
    await looksRight("start");
    await page.getByTestId("start").click();
    await page.getByTestId("step-title").waitFor();
    await page.getByRole("button", { name: "Stop the plan" }).click();
    await page.getByTestId("finish-card").waitFor();
    await page.getByRole("button", { name: "To the desk" }).click();
    await page.getByTestId("start").waitFor();
  });

  it("finds a job by its complaint and opens it", async () => {
    await go("Jobs");
    await page.getByTestId("job-row").waitFor();
    await looksRight("jobs");
    await page.getByLabel(/Search/).fill("thunder");
    await page.getByText("No job fits.").waitFor();
    await page.getByLabel(/Search/).fill("smoke");
    await page.getByTestId("job-row").getByRole("button").click();
    await page.getByTestId("job-page").getByText("smells of smoke").waitFor();
    await looksRight("job");
  });

  it("keeps the accuracy of a meter", async () => {
    await go("Meters");
    await page.getByRole("button", { name: "Enter a meter" }).click();
    await page.getByLabel("Name of the meter").fill("Demo hand-held");
    await page.getByLabel("Percent of reading").fill("0.5");
    await page.getByLabel("Counts", { exact: true }).fill("2");
    await looksRight("meter");
    await page.getByRole("button", { name: "Keep the meter" }).click();
    await page.getByRole("button", { name: "Demo hand-held" }).waitFor();
  });
});
