import { mkdir, mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { Bench } from "../../electron/bench/bench.js";
import { serveBench } from "../../electron/bench/server.js";
import { systemClock } from "../../drivers/clock.js";
import { runProgram } from "../../electron/cli/program.js";
import { ShopIndex } from "../../workbench/jobs/shop-index.js";
import { scriptedIo } from "../electron/scripted-io.js";
import { consoleErrors, openBrowser } from "./browser.js";
import { accessibilityFaults, cutText } from "./looks.js";

/** Parts and money of a recorded job, on the real bench, its real handlers and real files. */
let browser: Browser;
let jobs: string;

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  jobs = await mkdtemp(join(tmpdir(), "leadhand-window-parts-"));
  const practice = ["practice", "--fault", "lead-red-broken", "--seed", "3"];
  await runProgram([...practice, "--job", join(jobs, "job-1")], scriptedIo());
  browser = await openBrowser();
});
afterAll(async () => {
  await browser.close();
  await rm(jobs, { recursive: true, force: true });
});

it("refuses a wrong price list with its place, sets both options side by side, saves the list", async () => {
  const bench = new Bench({ begin: null, jobs }, systemClock, (place) => new ShopIndex(place));
  const server = await serveBench(bench, join(process.cwd(), "dist/renderer"));
  const page = await browser.newPage({ viewport: { width: 1024, height: 700 } });
  // The first question opens the index of jobs, on a busy machine not at once.
  page.setDefaultTimeout(90_000);
  const errors = consoleErrors(page);
  await page.goto(server.address);
  await page.getByRole("button", { name: "Jobs", exact: true }).click();
  await page.getByTestId("job-row").getByRole("button").click();
  const parts = page.getByTestId("job-parts");
  await parts.getByText("at fault").waitFor();

  const csv = "number,label,covers,price,currency,fit_min\r\nA,B,lead-rad,12,XTS,5\r\n";
  const file = { name: "prices.csv", mimeType: "text/csv", buffer: Buffer.from(csv) };
  await page.getByTestId("price-input").setInputFiles(file);
  const told = await page.getByTestId("price-error").innerText();
  expect(told).toContain('line 2, column covers: "lead-rad" is no part; the nearest is "lead-red"');

  await parts.getByText("Try with invented prices").click();
  await parts.getByRole("region", { name: "Repair" }).getByText("Red lead").first().waitFor();
  await parts.getByLabel(/A new tool costs/).fill("1.11");
  await parts
    .getByRole("region", { name: "Replacement" })
    .getByText("cheaper", { exact: true })
    .waitFor();
  await parts.scrollIntoViewIfNeeded();
  await page.screenshot({ path: "dist/screens/desk-parts-1024.png" });
  expect(await cutText(page, "scrolling")).toEqual([]);
  expect(await accessibilityFaults(page)).toEqual([]);

  const [download] = await Promise.all([
    page.waitForEvent("download"),
    parts.getByText("Save the parts list (CSV)").click(),
  ]);
  expect(await readFile(await download.path(), "utf8")).toMatch(
    /^number,label,covers,price,currency\r\nDEMO-\d+,Red lead \(invented\),lead-red,/,
  );
  expect(errors).toEqual([]);
  await page.close();
  await bench.close();
  await server.close();
});
