import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openBenchWindow } from "./bench-window.js";
import { consoleErrors, openBrowser } from "./browser.js";
import { Child, inRepo, ptyPair } from "./processes.js";
import { FOUND, Puppet, segmentShow } from "./puppet.js";
import { reactToBench } from "./react.js";

let browser: Browser;
let jobs: string;

beforeAll(async () => {
  browser = await openBrowser();
  jobs = await mkdtemp(join(tmpdir(), "leadhand-window-jobs-"));
});

afterAll(async () => {
  await browser.close();
  await rm(jobs, { recursive: true, force: true });
});

interface RecordedStep {
  readonly step: string;
  readonly verdict: string;
}

async function recordedSteps(): Promise<RecordedStep[]> {
  const [job = ""] = await readdir(jobs);
  const journal = await readFile(join(jobs, job, "journal.ndjson"), "utf8");
  return journal
    .trimEnd()
    .split("\n")
    .map((line) => (JSON.parse(line) as { event: { kind: string; result: RecordedStep } }).event)
    .filter(({ kind }) => kind === "step")
    .map(({ result: { step, verdict } }) => ({ step, verdict }));
}

it(
  "shows a plan on a serial line: held readings, the failed step, the end; no key, no mouse",
  { timeout: 240_000 },
  async () => {
    const pty = await ptyPair();
    const player = inRepo("tests/end-to-end/players/segment-player.mjs");
    const meter = new Child(process.execPath, [player, pty.far]);
    const address = `serial:${pty.near}?protocol=segment-14&baud=2400`;
    const window = await openBenchWindow(browser, ["--meter", address], jobs);
    const { page } = window;
    const errors = consoleErrors(page);
    const puppet = new Puppet(4);
    window.onEvent = (event) => {
      const shown = reactToBench(puppet, event);
      if (shown) meter.tell(shown.map(segmentShow));
    };
    // The first step began before the ear was there.
    meter.tell((puppet.react({ kind: "begin", step: "meter-proof" }) ?? []).map(segmentShow));

    await page.getByTestId("meter-state").filter({ hasText: /live/i }).waitFor();
    const failed = page.getByTestId("fail-card");
    await failed.waitFor({ timeout: 180_000 });
    expect(await failed.innerText()).toMatch(/FAIL[\s\S]*Expected[\s\S]*6\.12/);
    await page.screenshot({ path: "dist/screens/real-input-failed.png" });

    await page.getByTestId("finish-card").waitFor({ timeout: 120_000 });
    await page
      .getByTestId("conclusion")
      .filter({ hasText: /at fault: trigger switch/i })
      .waitFor();
    await page.screenshot({ path: "dist/screens/real-input-finished.png" });
    const rows = page.getByTestId("ledger-row");
    const shown = await rows.evaluateAll((all) =>
      all.map((row) => ({
        step: row.getAttribute("data-step"),
        verdict: row.getAttribute("data-verdict"),
      })),
    );
    const onDisk = await recordedSteps();
    expect(shown.sort(byStep)).toEqual(onDisk.sort(byStep));
    expect(shown).toContainEqual({ step: "switch-works", verdict: "fail" });
    const text = (await rows.allInnerTexts()).join("\n");
    for (const step of ["charger-output", "pack-open", "switch-out"]) {
      expect(text).toContain((FOUND[step] ?? NaN).toFixed(2));
    }
    expect(errors).toEqual([]);
    await window.close();
    await meter.stop();
    await pty.close();
  },
);

function byStep(a: { step: string | null }, b: { step: string | null }): number {
  return (a.step ?? "").localeCompare(b.step ?? "");
}
