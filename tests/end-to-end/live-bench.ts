import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { Bench } from "../../electron/bench/bench.js";
import { serveBench } from "../../electron/bench/server.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import type { PlanInput } from "../../workbench/plan/schema.js";
import { consoleErrors } from "./browser.js";
import { ScriptedMeter } from "./scripted-meter.js";

/** The real bench with its real files, the built page in a browser, and a meter that is scripted. */
export interface LiveBench {
  readonly bench: Bench;
  readonly page: Page;
  readonly meter: ScriptedMeter;
  readonly jobs: string;
  /** What the page said to its console above a warning. */
  readonly errors: readonly string[];
  /** Runs a plan of the test's own on the scripted meter; resolves with the job's folder. */
  run(plan: PlanInput): Promise<string>;
  close(): Promise<void>;
}

export async function openLiveBench(
  browser: Browser,
  viewport = { width: 1280, height: 800 },
): Promise<LiveBench> {
  const jobs = await mkdtemp(join(tmpdir(), "leadhand-live-"));
  const meter = await ScriptedMeter.open();
  // The thread that reasons runs from the built program only.
  const bench = new Bench(
    { begin: null, jobs },
    undefined,
    undefined,
    (...args) => new DirectReasoning(...args),
  );
  const server = await serveBench(bench, join(process.cwd(), "dist/renderer"));
  const context = await browser.newContext({ viewport, permissions: ["camera"] });
  const page = await context.newPage();
  const errors = consoleErrors(page);
  await page.goto(server.address);
  await page.getByTestId("start").waitFor();
  return {
    bench,
    page,
    meter,
    jobs,
    errors,
    async run(plan) {
      const file = join(jobs, "plan.json");
      await writeFile(file, JSON.stringify(plan));
      const run = await bench.startRun({ plan: file, meters: [meter.address] });
      await page.getByTestId("bench").waitFor();
      return run.id;
    },
    async close() {
      await context.close();
      await bench.close();
      await server.close();
      await meter.close();
      await rm(jobs, { recursive: true, force: true });
    },
  };
}
