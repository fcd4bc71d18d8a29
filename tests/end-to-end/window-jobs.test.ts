import { cp, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { crc32 } from "node:zlib";
import { readJob } from "../../workbench/job/read-job.js";
import { accessibilityFaults, cutText } from "./looks.js";
import { openBenchWindow } from "./bench-window.js";
import type { BenchWindow } from "./bench-window.js";
import { unpacked } from "../workbench/claim/sample-pack.js";
import { openBrowser } from "./browser.js";
import { leadhand } from "./processes.js";

/** Jobs in the window: the built bench process, its index in a thread of its own, real files. */
let browser: Browser;
let made: string;
let jobs: string;
let window: BenchWindow | null = null;
let page: Page;

beforeAll(async () => {
  await mkdir("dist/screens", { recursive: true });
  browser = await openBrowser();
  made = await mkdtemp(join(tmpdir(), "leadhand-made-"));
  // Making the index's engine costs seconds: once, and each test takes a copy of the empty one.
  await leadhand(["jobs", "--jobs", made]).exited;
  await practise("before", "--fault", "switch-burnt");
  await practise("after");
  await interrupt(join(made, "after"), join(made, "half"));
});
afterAll(async () => {
  await browser.close();
  await rm(made, { recursive: true, force: true });
});

async function practise(name: string, ...more: string[]): Promise<void> {
  const run = leadhand(["practice", "--seed", "4", "--job", join(made, name), ...more]);
  await run.exited;
}

/** The same job as a loss of power would have left it in the middle. */
async function interrupt(from: string, to: string): Promise<void> {
  await cp(from, to, { recursive: true });
  const lines = (await readFile(join(from, "journal.ndjson"), "utf8")).split("\n");
  await writeFile(join(to, "journal.ndjson"), `${lines.slice(0, 12).join("\n")}\n`);
  const { lines: kept } = await readJob(to);
  const trace = await readFile(join(from, "traces/a.trace"));
  // Half of the trace: its last block is torn, as after a loss of power.
  expect(kept.length).toBe(12);
  await writeFile(join(to, "traces/a.trace"), trace.subarray(0, Math.floor(trace.length * 0.4)));
  const file = await readFile(join(to, "job.json"), "utf8");
  await writeFile(join(to, "job.json"), file.replace(/"id": "[^"]+"/, '"id": "half"'));
}

beforeEach(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-window-jobs-"));
});
afterEach(async () => {
  await window?.close();
  window = null;
  await rm(jobs, { recursive: true, force: true });
});

async function open(...names: string[]): Promise<void> {
  for (const name of [...names, "shop"])
    await cp(join(made, name), join(jobs, name), { recursive: true });
  window = await openBenchWindow(browser, ["--desk"], jobs);
  page = window.page;
  await page.setViewportSize({ width: 1024, height: 700 });
  await page.getByTestId("start").waitFor();
  await go("Jobs");
}

const go = (place: string) => page.getByRole("button", { name: place, exact: true }).click();
/** A machine shared with other work must not fail a test: it waits for the event, not for a time. */
const soon = <T>(look: () => Promise<T> | T) => expect.poll(look, { timeout: 50_000 });
const rows = () => page.getByTestId("job-row");

async function looksRight(name: string): Promise<void> {
  for (const [width, height, theme] of [
    [1280, 800, "light"],
    [1024, 700, "dark"],
  ] as const) {
    await page.setViewportSize({ width, height });
    await page.evaluate((dressed) => {
      document.documentElement.dataset["theme"] = dressed;
    }, theme);
    await page.screenshot({ path: `dist/screens/${name}-${width}-${theme}.png` });
    expect(await cutText(page, "scrolling"), `${name} ${width}`).toEqual([]);
    expect(await accessibilityFaults(page), `${name} ${theme}`).toEqual([]);
  }
}

describe("jobs in the window", () => {
  it("says that there are none yet, and takes them from a folder of another bench", async () => {
    await open();
    await page.getByText("There are no jobs yet.").waitFor();
    await looksRight("jobs-empty");
    await page.getByLabel("Folder").fill(made);
    await page.getByRole("button", { name: "Import" }).click();
    await page.getByTestId("imported").getByText("Taken:").first().waitFor();
    await soon(() => rows().count()).toBe(3);
    await page.getByRole("button", { name: "Import" }).click();
    await page.getByText("job/exists").first().waitFor();
    await looksRight("jobs-imported");
  });

  it("filters, archives, brings back, and deletes only what was confirmed", async () => {
    await open("before", "after", "half");
    await soon(() => rows().count()).toBe(3);
    await page.getByLabel("Outcome").selectOption("failed");
    await soon(() => rows().count()).toBe(1);
    await rows().getByRole("button").click();
    await page.getByRole("button", { name: "Archive" }).click();
    await page.getByRole("button", { name: "Bring it back" }).waitFor();
    await page.getByRole("button", { name: "All jobs" }).click();
    await page.getByText("No job fits.").waitFor();
    await page.getByLabel("Where").selectOption("archived");
    await soon(() => rows().count()).toBe(1);
    await rows().getByRole("button").click();
    await page.getByText("Delete this job").click();
    const forGood = page.getByRole("button", { name: "Delete for good" });
    await page.getByLabel(/to confirm/).fill("DEMO");
    expect(await forGood.isDisabled()).toBe(true);
    await looksRight("job-delete");
    await page.getByLabel(/to confirm/).fill("DEMO-0001");
    await forGood.click();
    await page.getByText("No job fits.").waitFor();
    expect((await readdir(jobs)).sort()).toEqual(["after", "half", "shop"]);
  });

  it("lays two runs of a tool over each other, and begins a third as a repeat", async () => {
    await open("before", "after");
    await rows().first().getByRole("button").click();
    await page.getByRole("button", { name: /Compare with/ }).click();
    await page.getByTestId("compare-row").first().waitFor();
    // The check whose verdict changed is the one whose traces are shown first.
    await page.getByTestId("overlay").getByText("Out of the switch").waitFor();
    await soon(() => page.locator("[data-testid=overlay] g.recharts-area").count()).toBe(2);
    await looksRight("compare");
    await page.getByRole("button", { name: "Back to the job" }).click();
    await page.getByRole("button", { name: "Run it again after the repair" }).click();
    await page.getByTestId("repeats").waitFor();
    expect(await page.getByLabel("Serial number").inputValue()).toBe("DEMO-0001");
    await page.getByTestId("start").click();
    await page.getByTestId("bench").waitFor();
    await soon(
      async () => (await readdir(jobs)).filter((name) => name.includes("cordless")).length,
    ).toBe(1);
    const [name = ""] = (await readdir(jobs)).filter((each) => each.includes("cordless"));
    const repeat = await readJob(join(jobs, name));
    expect((await ids(["before", "after"])).has(repeat.file.repeats ?? "")).toBe(true);
  });

  it("goes on with an interrupted run: what was recorded is shown, the rest is measured", async () => {
    await open("half");
    await rows().getByRole("button").click();
    await page.getByTestId("job-step").nth(1).waitFor();
    await page.getByTestId("go-on").click();
    await page.getByTestId("finish-card").waitFor({ timeout: 60_000 });
    await soon(async () => (await readJob(join(jobs, "half"))).lines.at(-1)?.event.kind).toBe(
      "conclusion",
    );
    const { lines, damage } = await readJob(join(jobs, "half"));
    expect(damage).toEqual([]);
    expect(lines.filter(({ event }) => event.kind === "resumed")).toHaveLength(1);
    const replay = leadhand(["replay", join(jobs, "half")]);
    expect(await replay.exited).toBe(0);
  });

  it("keeps photos and notes with the job, and draws what all jobs say together", async () => {
    await open("before");
    await rows().getByRole("button").click();
    await page
      .getByTestId("photo-input")
      .setInputFiles({ name: "lead.png", mimeType: "image/png", buffer: picture() });
    await page.getByLabel("What lead.png shows").fill("Burnt contact of the switch");
    await page.getByRole("button", { name: "Add to the job" }).click();
    await page
      .getByTestId("photo")
      .getByRole("img", { name: "Burnt contact of the switch" })
      .waitFor();
    await page.getByLabel("Add a note").fill("Asked for the spare part.");
    await page.getByRole("button", { name: "Add the note" }).click();
    await page.getByTestId("notes").getByText("Asked for the spare part.").waitFor();
    await looksRight("job-added");
    await go("Trends");
    await page.getByText("No check has failed in a job of a real tool yet.").waitFor();
    await looksRight("trends-empty");
  });
});

it("the report of a claim pack can be read by everybody", async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-window-jobs-"));
  const pack = join(jobs, "claim.zip");
  const args = ["pack", join(made, "after"), "--before", join(made, "before"), "--no-pdf"];
  const run = leadhand([...args, "--out", pack], { LEADHAND_CONFIG: jobs });
  expect(await run.exited).toBe(0);
  const html = [...(await unpacked(pack))].find(([name]) => name.endsWith("/data/report.html"));
  const report = await browser.newPage();
  await report.setContent(html?.[1].toString("utf8") ?? "");
  expect(await accessibilityFaults(report)).toEqual([]);
  const heads = await report.locator("h1, h2").allInnerTexts();
  expect(heads).toEqual(
    expect.arrayContaining(["What is wrong", "Before and after repair", "What was not checked"]),
  );
  await report.close();
});

async function ids(names: readonly string[]): Promise<Set<string>> {
  const files = await Promise.all(names.map((name) => readJob(join(jobs, name))));
  return new Set(files.map(({ file }) => file.id));
}

/** A PNG of four grey pixels (ISO/IEC 15948): signature, header, data, end. */
function picture(): Buffer {
  const chunk = (type: string, data: Uint8Array): Buffer => {
    const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
    const out = Buffer.alloc(body.length + 8);
    out.writeUInt32BE(data.length, 0);
    body.copy(out, 4);
    out.writeUInt32BE(crc32(body), body.length + 4);
    return out;
  };
  const head = Buffer.from([0, 0, 0, 2, 0, 0, 0, 2, 8, 0, 0, 0, 0]);
  const lines = deflateSync(Buffer.from([0, 90, 160, 0, 160, 90]));
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([
    signature,
    chunk("IHDR", head),
    chunk("IDAT", lines),
    chunk("IEND", new Uint8Array()),
  ]);
}
