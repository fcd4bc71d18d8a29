import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { BenchEvent } from "../../workbench/contract/events.js";
import {
  answers,
  begin,
  contact,
  hello,
  meter,
  path,
  recorded,
  run,
  scenes,
  volts,
} from "../renderer/scenario.js";
import { ScriptedBench } from "../renderer/scripted-bench.js";
import { consoleErrors, openBrowser } from "./browser.js";

const limits = { low: 17.5, high: 21 };
const start: readonly BenchEvent[] = [
  hello,
  meter("live"),
  { type: "run", run },
  { type: "path", path },
  begin("pack-open", limits),
  { type: "clock", time_s: 100 },
];

let browser: Browser;
let bench: ScriptedBench;
let page: Page;
let port: number;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

beforeEach(async () => {
  bench = new ScriptedBench("dist/renderer", answers);
  bench.show(start);
  const address = await bench.open();
  port = Number(new URL(address).port);
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(address);
  await page.getByTestId("step-title").waitFor();
});
afterEach(async () => {
  await page.close();
  await bench.close();
});

const seen = (id: string) => page.getByTestId(id);

describe("the reading", () => {
  it("shows the digits of the meter, the sign too, and does not move when they change", async () => {
    bench.send(volts("19.84"));
    await expect.poll(() => seen("reading-digits").textContent()).toBe("19.84");
    const before = await seen("reading-digits").boundingBox();
    bench.send(volts("-11.11"));
    await expect.poll(() => seen("reading-digits").textContent()).toBe("-11.11");
    expect(await seen("reading-digits").boundingBox()).toEqual(before);
  });

  it("shows its age once the meter falls silent, and grows older", async () => {
    bench.send(volts("19.84"));
    bench.send(meter("stale"));
    const age = seen("reading-age");
    await age.waitFor();
    const young = await age.textContent();
    await expect.poll(() => age.textContent()).not.toBe(young);
    expect(await seen("meter-state").textContent()).toBe("Stale");
  });
});

describe("a failed step", () => {
  const fail = recorded("pack-open", "fail", 0, { zero: "proved" });

  it("takes the width with expected, found and next, until the next contact", async () => {
    bench.send(fail);
    bench.send(begin("pack-sag", limits));
    const card = seen("fail-card");
    await card.waitFor();
    const words = (await card.textContent()) ?? "";
    for (const part of ["FAIL", "17.50", "0.00", "zero proved", "Pack voltage under the trigger"]) {
      expect(words).toContain(part);
    }
    const box = await card.boundingBox();
    expect(box?.width).toBeGreaterThan(1280 * 0.9);
    bench.send(contact("pack-sag", "lifted"));
    bench.send(volts("0.00"));
    await expect.poll(() => seen("reading-digits").textContent()).toBe("0.00");
    expect(await card.count()).toBe(1);
    bench.send(contact("pack-sag", "touching", 40));
    await card.waitFor({ state: "detached" });
    expect(await seen("ledger-row").first().getAttribute("data-verdict")).toBe("fail");
  });
});

describe("a bench process that goes away", () => {
  it("is said at once, no figure is shown as live, and all is there again when it is back", async () => {
    bench.send(volts("19.84"));
    bench.send(recorded("pack-open", "pass", 19.84));
    await seen("ledger-row").waitFor();
    await bench.close();
    await seen("bench-banner").waitFor();
    expect(await seen("bench-banner").textContent()).toContain("gone");
    expect(await page.locator(".reading").first().getAttribute("data-live")).toBe("no");
    bench = new ScriptedBench("dist/renderer", answers);
    bench.show([...start, volts("19.90"), recorded("pack-open", "pass", 19.84)]);
    await bench.open(port);
    await seen("bench-banner").waitFor({ state: "detached" });
    expect(await seen("reading-digits").textContent()).toBe("19.90");
    expect(await seen("ledger-row").count()).toBe(1);
  });

  it("is said when it is there but has fallen silent", async () => {
    await expect
      .poll(
        () =>
          seen("bench-banner")
            .textContent({ timeout: 100 })
            .catch(() => ""),
        {
          timeout: 10_000,
        },
      )
      .toContain("said nothing for");
    bench.send({ type: "clock", time_s: 110 });
    await seen("bench-banner").waitFor({ state: "detached" });
  });
});

describe("words that are said", () => {
  it("stand as captions", async () => {
    bench.send(recorded("pack-open", "pass", 19.84));
    await expect
      .poll(() => seen("caption").textContent())
      .toBe("Pass: nineteen point eight four volts.");
  });
});

describe("what does not fit the contract", () => {
  it("is told with its code and kills nothing", async () => {
    bench.sendRaw('{"type":"reading","reading":"nonsense"}');
    await seen("troubles").waitFor();
    expect(await seen("troubles").textContent()).toContain("desktop/message-unknown");
    bench.send(volts("19.84"));
    await expect.poll(() => seen("reading-digits").textContent()).toBe("19.84");
  });
});

describe("keys", () => {
  it("do what they are assigned to, and only where that makes sense", async () => {
    await page.evaluate(() => {
      const keys = { confirm: "F8", repeat: "F9", skip: null };
      localStorage.setItem("leadhand-settings", JSON.stringify({ keys }));
    });
    await page.reload();
    await seen("step-title").waitFor();
    await page.keyboard.press("F9");
    await expect
      .poll(() => bench.requests.at(-1))
      .toEqual({
        call: "repeat",
        params: { step: "pack-open" },
      });
    // A measuring step is not confirmed by hand.
    await page.keyboard.press("F8");
    await page.keyboard.press("F9");
    // What a screen asks when it opens is no key's doing.
    const byKey = () =>
      bench.requests.map(({ call }) => call).filter((call) => !/^(list|read)/.test(call));
    await expect.poll(byKey).toEqual(["repeat", "repeat"]);
  });
});

describe("controls", () => {
  it("are there only for calls that the bench answers", async () => {
    const stop = page.getByRole("button", { name: "Stop the plan" });
    await stop.waitFor();
    bench.show([
      { ...hello, type: "hello", version: "0", time_s: 0, calls: ["listPlans"] },
      ...start.slice(1),
    ]);
    await stop.waitFor({ state: "detached" });
  });

  it("start a run from the start screen", async () => {
    const errors = consoleErrors(page);
    bench.show(scenes["start"] ?? []);
    await seen("start-screen").waitFor();
    await page.getByLabel("Make").fill("Demo Works");
    await seen("start").click();
    await expect
      .poll(() => bench.requests.at(-1))
      .toEqual({
        call: "startRun",
        params: {
          plan: "cordless-brushed",
          meters: ["practice:bench"],
          order: "fixed",
          tool: {
            make: "Demo Works",
            model: "",
            serial: "",
            complaint: "",
            condition: "",
            warranty: "unknown",
          },
        },
      });
    expect(errors).toEqual([]);
  });
});
