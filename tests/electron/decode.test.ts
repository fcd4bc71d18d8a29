import { expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { jsonLines } from "../../electron/cli/reading-lines.js";
import { createSegment14Decoder } from "../../protocols/segment-14/decode.js";
import { encodeSegment14 } from "../../protocols/segment-14/encode.js";
import { readingSchema, readingToJson } from "../../workbench/contract/reading.js";
import { scriptedIo } from "./scripted-io.js";

const display = {
  quantity: "voltage",
  coupling: "dc",
  prefix: "",
  decimals: 2,
  flags: ["auto"],
} as const;
const frame = encodeSegment14({ ...display, counts: 1794 });

test("decode turns bytes into the JSON of readings, statistics last on standard error", async () => {
  const io = scriptedIo([Uint8Array.of(0xff), frame.subarray(0, 5), frame.subarray(5)]);
  expect(await runProgram(["decode", "--protocol", "segment-14", "--json"], io)).toBe(0);
  expect(io.lines).toHaveLength(1);
  const reading = JSON.parse(io.lines[0]!) as Record<string, unknown>;
  expect(readingSchema.safeParse(reading).success).toBe(true);
  expect(Object.keys(reading)).toEqual([
    "time_s",
    "channel",
    "quantity",
    "coupling",
    "value",
    "unit",
    "resolution",
    "overload",
    "flags",
  ]);
  expect(reading).toMatchObject({ channel: "a", value: 17.94, resolution: 0.01, flags: ["auto"] });
  expect(JSON.parse(io.messages.at(-1)!)).toEqual({
    protocol: "segment-14",
    bytes: 15,
    frames: 1,
    skippedBytes: 1,
    rejected: {},
  });
});

test("decode reads the first and the last line of a text whole", async () => {
  const io = scriptedIo([Buffer.from("1,5;mV\n-0,25;mV")]);
  const args = ["--protocol", "ascii-line", "--option", "decimal=comma"];
  expect(await runProgram(["decode", ...args, "--option", "separator=semicolon"], io)).toBe(0);
  expect(io.lines).toEqual(["1.5 mV        voltage", "-0.25 mV      voltage"]);
});

test.each([
  [["--protocol", "segment14"], "usage/unknown-protocol"],
  [["--protocol", "segment-14", "--option", "decimal=comma"], "usage/protocol-option"],
  [["--protocol", "ascii-line", "--option", "decimal"], "usage/protocol-option"],
  [["--protocol", "ascii-line", "--option", "decimal=dot"], "usage/protocol-option"],
])("decode %s is a usage error: %s", async (args, code) => {
  const io = scriptedIo();
  expect(await runProgram(["decode", ...args], io)).toBe(2);
  expect(io.messages.join("\n")).toContain(code);
});

test("the lines are the JSON that is everywhere the same, whatever changes between them", () => {
  const frames = [
    encodeSegment14({ ...display, counts: -5 }),
    encodeSegment14({ ...display, counts: "overload" }),
    encodeSegment14({ ...display, counts: -0, flags: ["hold"] }),
    encodeSegment14({ ...display, counts: 1234, decimals: 3, prefix: "m" }),
    encodeSegment14({ ...display, counts: 1234, quantity: "resistance", coupling: null }),
  ];
  const readings = createSegment14Decoder().push(new Uint8Array(Buffer.concat(frames)));
  expect(readings).toHaveLength(frames.length);
  const expected = readings.map((reading) =>
    JSON.stringify(readingToJson({ ...reading, time_s: 1.5e-7, channel: "a" })),
  );
  expect(jsonLines()(readings, 1.5e-7)).toBe(expected.join("\n"));
});
