import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { FAIR_PACK, simulatePack } from "../workbench/measurement/pack.js";
import { scriptedIo } from "./scripted-io.js";

const folder = mkdtempSync(join(tmpdir(), "leadhand-trace-"));

function file(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

async function run(...argv: string[]) {
  const io = scriptedIo();
  const status = await runProgram(argv, io);
  return { status, lines: io.lines, messages: io.messages.join("\n") };
}

function sagFile(name: string, withCurrent: boolean, sign = 1): string {
  const noise = { noise_V: 0.002, noise_A: 0.02, count_V: 0.001, count_A: 0.01, seed: 11 };
  const recording = { squeezes: [[1, 2.5]] as const, length_s: 10, rate: 100, ...noise };
  const sag = simulatePack(FAIR_PACK, recording);
  const rows = sag.time_s.map((t, k) => {
    const current = withCurrent ? `,${sag.current_A[k]!.toFixed(2)}` : "";
    return `${t},${(sign * sag.voltage_V[k]!).toFixed(3)}${current}`;
  });
  const header = withCurrent ? "time_s,voltage_V,current_A" : "time_s,voltage_V";
  return file(name, [header, ...rows].join("\n"));
}

describe("sag", () => {
  test("--json: every figure has a value, unit and uncertainty, or says why not", async () => {
    const { status, lines } = await run("sag", sagFile("both.csv", true), "--json");
    expect(status).toBe(0);
    expect(lines).toHaveLength(1);
    const report = JSON.parse(lines[0]!) as Record<string, { value: number; unit: string }>;
    const names = ["baseline", "floor", "plateau", "recovery", "internalResistance", "relaxation1"];
    for (const name of names)
      expect(report[name]).toMatchObject({ u: expect.any(Number) as number });
    expect(report["baseline"]!.value).toBeCloseTo(19.8, 2);
    expect(report["internalResistance"]!.value / FAIR_PACK.r0_ohm).toBeCloseTo(1, 1);
    expect(report["relaxation1"]!.value).toBeCloseTo(0.25, 1);
  });

  test("voltage alone: no internal resistance, and the reason", async () => {
    const { lines } = await run("sag", sagFile("volts.csv", false), "--json");
    const report = JSON.parse(lines[0]!) as Record<string, { value: null; note: string }>;
    expect(report["internalResistance"]).toMatchObject({ value: null });
    expect(report["internalResistance"]!.note).toContain("no current");
  });

  test("reversed probes are said, the figures positive", async () => {
    const { lines } = await run("sag", sagFile("reversed.csv", true, -1), "--json");
    const report = JSON.parse(lines[0]!) as { polarity: string; plateau: { value: number } };
    expect(report.polarity).toBe("reversed");
    expect(report.plateau.value).toBeGreaterThan(18);
  });

  test("for people: one figure a line", async () => {
    const { lines } = await run("sag", sagFile("text.csv", true));
    expect(lines.join("\n")).toMatch(/plateau +18\.\d+ V ± /);
  });

  test("a constant trace has no squeeze, and says so", async () => {
    const rows = Array.from({ length: 50 }, (_, k) => `${k / 10},19.84`);
    const path = file("constant.csv", ["time_s,voltage_V", ...rows].join("\n"));
    const { status, lines } = await run("sag", path, "--json");
    expect(status).toBe(0);
    const report = JSON.parse(lines[0]!) as { squeezes: []; floor: { note: string } };
    expect(report.squeezes).toEqual([]);
    expect(report.floor.note).toContain("no squeeze");
  });
});

describe("settle", () => {
  test("--json: contact changes, what was held, and a summary", async () => {
    const value = (t: number) => (t < 1 || t >= 4 ? "0.00" : "19.84");
    const rows = Array.from({ length: 50 }, (_, k) => `${k / 10},${value(k / 10)}`);
    const path = file("settle.csv", ["time_s,voltage_V", ...rows].join("\n"));
    const { status, lines } = await run("settle", path, "--json");
    expect(status).toBe(0);
    const events = lines.map((line) => JSON.parse(line) as { event: string; value?: number });
    expect(events.filter(({ event }) => event === "held")).toMatchObject([{ value: 19.84 }]);
    expect(events.at(-1)).toMatchObject({ event: "end", readings: 50, held: 1 });
  });
});

describe("bad input is refused with the place and what to do", () => {
  test.each([
    ["no column", "time,voltage_V\n0,1\n", "input/column", "time_s"],
    ["not a number", "time_s,voltage_V\n0,1\n1,OL\n", "input/number", "line 3"],
    ["an empty cell", "time_s,voltage_V\n0,1\n1,\n", "input/number", "line 3"],
    ["NaN", "time_s,voltage_V\n0,1\n1,NaN\n", "input/number", "line 3"],
    ["time going back", "time_s,voltage_V\n0,1\n2,1\n1,1\n", "input/time-order", "line 4"],
    ["too few readings", "time_s,voltage_V\n0,1\n1,1\n", "input/too-short", "2 readings"],
    ["nothing", "", "input/column", "empty"],
    ["a decimal comma", "time_s;voltage_V\n0,0;18,1\n", "input/column", "by commas"],
    ["hexadecimal", "time_s,voltage_V\n0,1\n1,0x12\n", "input/number", "line 3"],
    ["no text", "t\0i\0m\0e\0", "input/csv", "UTF-8"],
    ["a broken quote", 'time_s,voltage_V\n0,"1\n', "input/csv", "CSV"],
  ])("%s", async (name, text, code, place) => {
    const { status, lines, messages } = await run("sag", file(`${name}.csv`, text));
    expect(status).toBe(2);
    expect(lines).toEqual([]);
    expect(messages).toContain(code);
    expect(messages).toContain(place);
  });

  test("no such file", async () => {
    const { status, messages } = await run("settle", join(folder, "none.csv"));
    expect(status).toBe(2);
    expect(messages).toContain("input/file");
  });
});
