import { describe, expect, it } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { findProtocol } from "../../protocols/registry.js";
import { scriptedIo } from "./scripted-io.js";

async function practice(...argv: readonly string[]) {
  const io = scriptedIo();
  const status = await runProgram(["practice", ...argv], io);
  return { status, out: io.lines, err: io.messages };
}

describe("leadhand practice", () => {
  it("lists tools and faults for people", async () => {
    const { status, out } = await practice("--list");
    expect(status).toBe(0);
    expect(out[0]).toMatch(/^cordless-brushed: /);
    expect(out.join("\n")).toMatch(/pack-weak-cell +Pack with one weak cell\. /);
  });

  it("lists them for programs", async () => {
    const { out } = await practice("--list", "--json");
    const tools = out.map((line) => JSON.parse(line) as { kind: string; faults: object[] });
    expect(tools[0]?.kind).toBe("cordless-brushed");
    expect(tools[0]?.faults.length).toBeGreaterThan(15);
    expect(tools[0]?.faults[0]).toHaveProperty("part");
  });

  it("prints the meter's bytes, which decode to the tool with its fault", async () => {
    const { out } = await practice("--frames", "--json", "--fault", "pack-asleep");
    const decoder = findProtocol("segment-14").createDecoder();
    const chunks = out.map((line) => JSON.parse(line) as { time_s: number; hex: string });
    const readings = chunks.flatMap(({ time_s, hex }) =>
      decoder.push(Buffer.from(hex, "hex")).map((reading) => ({ time_s, ...reading })),
    );
    const pack = readings.filter(({ time_s }) => time_s < 23.8).at(-1);
    expect(pack).toMatchObject({ quantity: "voltage", coupling: "dc" });
    expect(pack?.value).toBeLessThan(1);
  });

  it("refuses a fault that there is not, and a seed that is no number", async () => {
    const unknown = await practice("--frames", "--fault", "rust");
    expect(unknown).toMatchObject({ status: 2, out: [] });
    expect(unknown.err.join()).toMatch(/usage\/practice-fault/);
    expect((await practice("--frames", "--seed", "x")).err.join()).toMatch(/usage\/practice-seed/);
  });
});
