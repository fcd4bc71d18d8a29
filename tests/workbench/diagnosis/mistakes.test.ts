import { expect, test } from "vitest";
import { readCase } from "../../../workbench/diagnosis/readings-file.js";

/** A readings file as it is mistyped, and the words that must help. */
const reading = { red: "pack-plus", black: "pack-minus", condition: "pack-out", unit: "V" };

test.each<[string, unknown, string]>([
  [
    "a field of a condition",
    { condition: { triger: "squeezed" }, value: 19 },
    'readings[0].condition: "triger" is not known here; the nearest is "trigger"',
  ],
  [
    "a value of a condition",
    { condition: { trigger: "pulled" }, value: 19 },
    'readings[0].condition.trigger: expected one of "released", "squeezed", "worked"',
  ],
  [
    "a decimal comma",
    { value: "19,8" },
    "readings[0].value: expected a number (with a point, not a comma)",
  ],
  [
    "a field of a reading",
    { val: 19.8 },
    'readings[0]: "val" is not known here; the nearest is "value"',
  ],
])("%s", (_, changed, words) => {
  const file = { kind: "cordless-brushed", readings: [{ ...reading, ...(changed as object) }] };
  expect(() => readCase(file)).toThrow(words);
});

test.each<[string, object, string]>([
  [
    "a field of the tool",
    { tool: { nominal: 18 } },
    'tool: "nominal" is not known here; the nearest is "nominal_V"',
  ],
  [
    "a trigger of its own",
    { tool: { trigger: "electric" } },
    'tool.trigger: expected one of "mechanical", "electronic"',
  ],
  [
    "cells of another chemistry",
    { tool: { nominal_V: 18, cells: 15 } },
    "tool: 18 V on 15 cells is 1.2 V a cell, and a lithium-ion cell has 3.6 V; 18 V would be 5 cells",
  ],
  [
    "a caution",
    { cautions: { nopower: true } },
    'cautions: "nopower" is not known here; the nearest is "noPower"',
  ],
  [
    "the file itself",
    { reading: [] },
    'the file: "reading" is not known here; the nearest is "readings"',
  ],
])("%s", (_, changed, words) => {
  expect(() => readCase({ kind: "cordless-brushed", ...changed })).toThrow(words);
});

test("the number of cells follows from the voltage, as makers name it", () => {
  for (const [nominal_V, cells] of [
    [10.8, 3],
    [12, 3],
    [14.4, 4],
    [18, 5],
    [20, 5],
    [36, 10],
    [40, 10],
    [60, 15],
  ] as const) {
    const { model } = readCase({ kind: "pack", tool: { nominal_V } });
    expect(model.points.filter(({ id }) => id.startsWith("tap-"))).toHaveLength(cells + 1);
  }
});
