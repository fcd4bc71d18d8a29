import "../patience.js";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { axisFor, tickText } from "../../../workbench/claim/report/axis.js";
import {
  clockOf,
  limitsInScale,
  scaleFor,
  timeOfDay,
  uncertaintyInScale,
  inScale,
} from "../../../workbench/claim/report/numbers.js";
import { temporaryFolder } from "../job/fixtures.js";
import { sampleRun } from "../job/sample-run.js";
import { packAgain, unpacked } from "./sample-pack.js";
import { sagRun } from "./sag-run.js";

async function reportOf(pack: string): Promise<string> {
  const file = [...(await unpacked(pack))].find(([name]) => name.endsWith("/report.html"));
  return file![1].toString("utf8");
}

test("a sag is drawn with its axes, units, limit and figures, before and after the repair", async () => {
  const folder = temporaryFolder();
  await sagRun(join(folder, "first"), 15.6, "2026-03-02T09:15:00+01:00");
  await sagRun(join(folder, "second"), 17.2, "2026-03-04T16:40:00+01:00");
  const before = join(folder, "first");
  await packAgain(join(folder, "second"), join(folder, "claim.zip"), { before });
  const html = await reportOf(join(folder, "claim.zip"));
  expect(html).toContain("Voltage (V)");
  expect(html).toContain("Time since the step began (s)");
  expect(html).toMatch(/low limit 16\.5/);
  expect(html).toContain("before repair");
  // 0.5 % of 17.13 V and three counts of 1 mV, k = 2: not the scatter of the readings alone.
  expect(html).toMatch(/17\.13\d V ± 0\.085 V/);
  expect(html).toContain("Before and after repair");
  expect(html).toMatch(/<desc[^>]*>\d+ readings between/);
  const names = [...(await unpacked(join(folder, "claim.zip"))).keys()].join("\n");
  expect(names).toContain("data/job-before/journal.ndjson");
});

test("the report needs nothing from outside and runs nothing", async () => {
  const folder = temporaryFolder();
  await sampleRun(join(folder, "job"));
  await packAgain(join(folder, "job"), join(folder, "claim.zip"));
  const html = await reportOf(join(folder, "claim.zip"));
  expect(html).not.toMatch(/<script|<link|<iframe|https?:|url\(/i);
  expect(html).toContain("default-src &#39;none&#39;");
  expect([...html.matchAll(/<h1/g)]).toHaveLength(1);
});

test("what people wrote is shown as text, whatever it looks like", async () => {
  const folder = temporaryFolder();
  const evil = `<img src=x onerror=alert(1)> & "'`;
  const tool = { make: evil, model: "M", serial: "../../x", complaint: evil };
  await sampleRun(join(folder, "job"), { tool });
  const packed = await packAgain(join(folder, "job"), join(folder, "claim.zip"));
  const html = await reportOf(packed.out);
  expect(html).not.toContain("<img");
  expect(html).toContain("&lt;img src=x onerror=alert(1)&gt; &amp; &quot;&#39;");
  const [first = ""] = (await unpacked(packed.out)).keys();
  expect(first).toMatch(/^claim-x-2026-03-02\//);
});

test("the style prints on either paper", async () => {
  const folder = temporaryFolder();
  await sampleRun(join(folder, "job"));
  const packed = await packAgain(join(folder, "job"), join(folder, "c.zip"), { paper: "Letter" });
  expect(await reportOf(packed.out)).toContain("size: Letter");
  expect(readFileSync(packed.out).length).toBeGreaterThan(0);
});

test("numbers carry their prefix, digits and two figures of uncertainty (GUM 7.2.6)", () => {
  const scale = scaleFor("Ω", 0.0123, 0.0001);
  expect(`${inScale(0.0123, scale)} ${scale.unit}`).toBe("12.3 mΩ");
  expect(uncertaintyInScale(0.00041, scale)).toBe("0.41");
  const volts = scaleFor("V", 19.84, 0.01);
  expect(inScale(-19.84, volts)).toBe("−19.84");
  expect(limitsInScale({ low: 17.5, high: 21 }, volts)).toBe("17.50 to 21.00 V");
  expect(limitsInScale({ low: null, high: 21 }, volts)).toBe("at most 21.00 V");
  expect(scaleFor("V", 0, 0.01)).toMatchObject({ unit: "V", decimals: 2 });
});

test("times of day keep the offset of the bench", () => {
  expect(timeOfDay("2026-03-02T09:15:00+01:00", 3605)).toBe("2026-03-02 10:15:05 +01:00");
  expect(timeOfDay("2026-03-01T23:59:59-03:30", 2)).toBe("2026-03-02 00:00:01 -03:30");
  expect(timeOfDay("2026-03-02T09:15:00Z", 0)).toBe("2026-03-02 09:15:00 UTC");
  expect(clockOf(67.32)).toBe("1:07.3");
});

test("an axis covers its values in round steps", () => {
  expect(axisFor(15.6, 18.4, 6)).toMatchObject({ low: 15.5, high: 18.5, step: 0.5 });
  const flat = axisFor(5, 5, 6);
  expect(flat.high).toBeGreaterThan(flat.low);
  expect(tickText(-0.5, 0.5)).toBe("−0.5");
});
