import { expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { scriptedIo } from "./scripted-io.js";

async function reckon(...argv: string[]): Promise<unknown> {
  const io = scriptedIo();
  expect(await runProgram(["reckon", ...argv], io), io.messages.join("\n")).toBe(0);
  return JSON.parse(io.lines.join("\n"));
}

test("each sum answers with one JSON object", async () => {
  expect(await reckon("winding", "1", "1.2")).toMatchObject({ temperature_degC: 71 });
  expect(await reckon("pt100", "100")).toMatchObject({ temperature_degC: 0 });
  expect(await reckon("chopped", "4.5", "18")).toMatchObject({ duty: 0.25 });
  expect(await reckon("lead", "1000", "--mm2", "1.5")).toMatchObject({ most_flexible_ohm: 13.3 });
  expect(await reckon("ntc", "10000")).toMatchObject({ temperature_degC: 25 });
  expect(await reckon("motor", "18", "0.3", "1.5", "18000")).toMatchObject({ stallCurrent_A: 60 });
  expect(await reckon("null", "1.5", "0.2", "0.3")).toMatchObject({ resistance_ohm: 1.25 });
  expect(await reckon("typek", "4.096", "--cold", "0")).toHaveProperty("temperature_degC");
  const twoLoads = await reckon("two-loads", "19.8", "0.5", "19.5", "2.5");
  expect((twoLoads as { resistance_ohm: number }).resistance_ohm).toBeCloseTo(0.15, 9);
  const aluminium = await reckon("winding", "1", "1.2", "--aluminium");
  expect(aluminium).toMatchObject({ temperature_degC: 69 });
  const [likeliest] = (await reckon("pack", "18.6", "--marked", "18")) as unknown[];
  expect(likeliest).toMatchObject({ chemistry: "lithium-ion", cells: 5 });
});

test("a number that is none is a usage error", async () => {
  const io = scriptedIo();
  expect(await runProgram(["reckon", "ntc", "warm"], io)).toBe(2);
  expect(io.lines).toEqual([]);
});
