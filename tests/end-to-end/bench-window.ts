import type { Browser, Page } from "playwright-core";
import { WebSocket } from "ws";
import { eventSchema } from "../../workbench/contract/events.js";
import type { BenchEvent } from "../../workbench/contract/events.js";
import { Child, inRepo } from "./processes.js";

/** The built bench process with a browser window on it, and a second ear on what it says. */
export interface BenchWindow {
  readonly page: Page;
  readonly bench: Child;
  /** Hears every event of the bench from now on. */
  onEvent: (event: BenchEvent) => void;
  close(): Promise<void>;
}

export async function openBenchWindow(
  browser: Browser,
  args: readonly string[],
  jobs: string,
): Promise<BenchWindow> {
  const bench = new Child(process.execPath, [inRepo("dist/electron/bench/main.js"), ...args], {
    LEADHAND_JOBS: jobs,
  });
  const address = await bench.until(({ lines }) => lines[0]);
  const context = await browser.newContext({ viewport: { width: 1280, height: 860 } });
  const page = await context.newPage();
  await page.goto(address);
  const cookies = await context.cookies();
  const { host } = new URL(address);
  const ear = new WebSocket(`ws://${host}/bench`, {
    headers: { cookie: cookies.map(({ name, value }) => `${name}=${value}`).join("; ") },
  });
  const opened: BenchWindow = {
    page,
    bench,
    onEvent: () => undefined,
    close: async () => {
      ear.terminate();
      await context.close();
      await bench.stop();
    },
  };
  ear.on("message", (data) => {
    opened.onEvent(eventSchema.parse(JSON.parse((data as Buffer).toString())));
  });
  return opened;
}
