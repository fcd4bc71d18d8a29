import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import type { PointsList } from "../../workbench/diagnosis/points-list.js";
import type { Report } from "../../workbench/diagnosis/report.js";
import type { Decision } from "../../workbench/parts/decision.js";
import { scriptedIo } from "./scripted-io.js";

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "leadhand-diagnose-"));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function diagnose(content: unknown): Promise<{ status: number; out: string; err: string }> {
  const file = join(folder, "readings.json");
  writeFileSync(file, typeof content === "string" ? content : JSON.stringify(content));
  const io = scriptedIo();
  const status = await runProgram(["diagnose", file, "--json"], io);
  return { status, out: io.lines.join("\n"), err: io.messages.join("\n") };
}

const openSwitch = {
  kind: "cordless-brushed",
  tool: { nominal_V: 18, cells: 5, trigger: "mechanical", charger: "always-live" },
  readings: [
    {
      red: "charger-plus",
      black: "charger-minus",
      condition: "charger-empty",
      value: 21,
      unit: "V",
    },
    { red: "pack-plus", black: "pack-minus", condition: "pack-out", value: 19.8, unit: "V" },
    { red: "pack-plus", black: "pack-minus", condition: "squeezed", value: 19.8, unit: "V" },
    {
      red: "switch-in-plus",
      black: "switch-out-plus",
      condition: "pack-out-squeezed",
      value: "OL",
      unit: "ohm",
      proved: true,
    },
    { red: "switch-out-plus", black: "brush-a", condition: "pack-out", value: 0.2, unit: "ohm" },
    { red: "brush-a", black: "brush-b", condition: "pack-out", value: 900, unit: "mΩ" },
  ],
  observations: { "motor-turns": false, "shaft-turns-by-hand": true },
};

test("an open switch comes out first, with reasons, cleared parts and a next probe", async () => {
  const { status, out } = await diagnose(openSwitch);
  expect(status).toBe(0);
  const report = JSON.parse(out) as Report;
  expect(report.candidates[0]?.parts).toEqual(["switch"]);
  expect(report.candidates[0]?.faults[0]).toMatchObject({ part: "switch", mode: "open" });
  expect(report.candidates[0]?.odds).toBeGreaterThan(0.7);
  expect(report.candidates[0]?.reason).toContain("open from switch input plus");
  expect(report.cleared.map((one) => one.part)).toEqual(
    expect.arrayContaining(["charger", "lead-red"]),
  );
  expect(report.conflicts).toContainEqual(["switch"]);
  expect(report.next?.outcomes.length).toBeGreaterThan(0);
});

test("the output is one line and the same each time", async () => {
  const first = await diagnose(openSwitch);
  expect(first.out.split("\n")).toHaveLength(1);
  expect((await diagnose(openSwitch)).out).toBe(first.out);
});

test("without --json a person reads the same in words", async () => {
  const file = join(folder, "words.json");
  writeFileSync(file, JSON.stringify(openSwitch));
  const io = scriptedIo();
  expect(await runProgram(["diagnose", file], io)).toBe(0);
  expect(io.lines.join("\n")).toMatch(/Trigger switch +condemned/);
});

test.each([
  ["kind", { ...openSwitch, kind: "cordles-brushed" }, '"cordless-brushed"'],
  ["point", withReading({ red: "pack-pluss" }), 'readings[0].red: "pack-pluss"'],
  ["point, nearest", withReading({ red: "pack-pluss" }), 'the nearest is "pack-plus"'],
  ["condition", withReading({ condition: "squeezd" }), 'the nearest is "squeezed"'],
  ["field", withReading({ blak: "x" }), '"blak" is not known here; the nearest is "black"'],
  ["unit", withReading({ unit: "A" }), 'readings[0].unit: "A" is neither volts nor ohms'],
  [
    "observation",
    { ...openSwitch, observations: { "motor-turn": "no" } },
    'the nearest is "motor-turns"',
  ],
  [
    "observation's value",
    { ...openSwitch, observations: { "motor-turns": "slow" } },
    'the nearest is "slowly"',
  ],
  ["value", withReading({ value: "19.8x" }), "readings[0].value"],
  ["ohms on a live tool", withReading({ unit: "ohm", condition: "at-rest" }), "ohms-on-live"],
  ["JSON", "{", "input/not-json"],
])("an unknown or wrong %s is refused with what is expected", async (_, file, expected) => {
  const { status, out, err } = await diagnose(file);
  expect(status).toBe(2);
  expect(out).toBe("");
  expect(err).toContain(expected);
});

function withReading(more: object): unknown {
  const reading = {
    red: "pack-plus",
    black: "pack-minus",
    condition: "pack-out",
    value: 19.8,
    unit: "V",
    ...more,
  };
  return { ...openSwitch, readings: [reading] };
}

test("--points lists points, conditions and observations, and its example is accepted", async () => {
  const io = scriptedIo();
  expect(await runProgram(["diagnose", "--points", "cordless-brushed", "--json"], io)).toBe(0);
  const list = JSON.parse(io.lines.join("\n")) as PointsList;
  expect(list.points.map((point) => point.id)).toContain("switch-out-minus");
  expect(list.conditions.map((one) => one.id)).toContain("squeezed");
  expect(list.observations.map((one) => one.id)).toContain("shaft-turns-by-hand");
  expect((await diagnose(list.example)).status).toBe(0);
});

test("--points with an unknown kind names the nearest and all that are known", async () => {
  const io = scriptedIo();
  expect(await runProgram(["diagnose", "--points", "brushed"], io)).toBe(2);
  expect(io.messages.join("\n")).toContain("cordless-brushed");
});

test("with a price list it adds repair against replacement and writes the parts list", async () => {
  const [file, prices, list] = ["money.json", "prices.csv", "order.csv"].map((name) =>
    join(folder, name),
  );
  writeFileSync(file!, JSON.stringify(openSwitch));
  writeFileSync(
    prices!,
    "number,label,covers,price,currency,fit_min\nX-3,Invented switch,switch,22.22,XTS,12\n",
  );
  const io = scriptedIo();
  const options = ["--prices", prices!, "--parts-list", list!, "--new-tool", "99"];
  expect(await runProgram(["diagnose", file!, "--json", ...options], io)).toBe(0);
  const { decision } = JSON.parse(io.lines.join("\n")) as { decision: Decision };
  expect(decision.suspects).toEqual(["switch"]);
  expect(decision.repair?.total).toBeCloseTo(22.22 + (24 / 60) * 48, 2);
  expect(decision.cheaper).toBe("repair");
  expect(readFileSync(list!, "utf8")).toContain("X-3,Invented switch,switch,22.22,XTS\r\n");
  const again = scriptedIo();
  expect(await runProgram(["diagnose", file!, ...options], again)).toBe(2);
  expect(again.messages.join("\n")).toContain("input/unwritable-file");
});
