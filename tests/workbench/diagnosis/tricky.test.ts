import { describe, expect, test } from "vitest";
import { readCase } from "../../../workbench/diagnosis/readings-file.js";
import type { ReadingsFile } from "../../../workbench/diagnosis/readings-file.js";
import { report } from "../../../workbench/diagnosis/report.js";
import type { Report } from "../../../workbench/diagnosis/report.js";

type Reading = NonNullable<ReadingsFile["readings"]>[number];

function read(
  points: readonly [string, string],
  condition: string,
  value: number | null,
  unit: string,
): Reading {
  return { red: points[0], black: points[1], condition, value, unit };
}

const CHARGER = ["charger-plus", "charger-minus"] as const;
const PACK = ["pack-plus", "pack-minus"] as const;
const SWITCH_IN = ["switch-in-plus", "switch-in-minus"] as const;
const SWITCH_OUT = ["switch-out-plus", "switch-out-minus"] as const;
const supply: Reading[] = [
  read(CHARGER, "charger-empty", 21.1, "V"),
  read(PACK, "pack-out", 19.9, "V"),
  read(PACK, "squeezed", 19.7, "V"),
];

function diagnose(file: Omit<ReadingsFile, "kind"> & { kind?: string }): Report {
  const given = readCase({
    kind: "cordless-brushed",
    ...file,
    tool: { nominal_V: 18, trigger: "mechanical", charger: "always-live", ...file.tool },
  });
  return report(given.model, given.observations, given.cautions, given.stopBelow);
}

function odds(found: Report, part: string): number {
  return found.parts.find((one) => one.part === part)?.odds ?? Number.NaN;
}

function state(found: Report, part: string): string | undefined {
  return found.parts.find((one) => one.part === part)?.state;
}

test("reversed probes: a negative pack voltage counts as positive, and it is said", () => {
  const straight = diagnose({ readings: supply });
  const reversed = diagnose({
    readings: [supply[0]!, read(PACK, "pack-out", -19.9, "V"), supply[2]!],
  });
  expect(reversed.candidates).toEqual(straight.candidates);
  expect(reversed.doubts).toMatchObject([{ observation: 1, suspicion: "reversed-leads" }]);
});

describe("a charger silent without a pack", () => {
  const silent = [read(CHARGER, "charger-empty", 0, "V")];

  test("is not suspected where the tool is known to have such a charger", () => {
    const found = diagnose({ tool: { charger: "silent-without-pack" }, readings: silent });
    expect(odds(found, "charger")).toBeLessThan(0.12);
  });
  test("is suspected where it should always be live", () => {
    const found = diagnose({ readings: silent });
    expect(found.candidates[0]?.parts).toEqual(["charger"]);
  });
  test("is put to the test with a pack on it where nobody knows", () => {
    const found = diagnose({ tool: { charger: "unknown" }, readings: silent });
    expect(odds(found, "charger")).toBeLessThan(0.3);
    const cleared = diagnose({
      tool: { charger: "unknown" },
      readings: [
        ...silent,
        read(PACK, "pack-out", 18.5, "V"),
        read(CHARGER, "charger-with-pack", 20.2, "V"),
      ],
    });
    // Below what counts as cleared.
    expect(odds(cleared, "charger")).toBeLessThan(0.05);
  });
});

describe("an electronic trigger open on ohms", () => {
  const open = [
    ...supply,
    read(["switch-in-plus", "switch-out-plus"], "pack-out-squeezed", null, "Ω"),
  ];

  test("says nothing against the switch", () => {
    const found = diagnose({
      kind: "cordless-brushed-electronic",
      tool: { trigger: "electronic" },
      readings: open,
    });
    expect(odds(found, "switch")).toBeLessThan(0.35);
    const before = diagnose({
      kind: "cordless-brushed-electronic",
      tool: { trigger: "electronic" },
      readings: supply,
    });
    expect(odds(found, "switch")).toBeCloseTo(odds(before, "switch"), 1);
  });
  test("is asked under power: input there, output not", () => {
    const found = diagnose({
      kind: "cordless-brushed-electronic",
      tool: { trigger: "electronic" },
      readings: [
        ...open,
        read(SWITCH_IN, "squeezed", 19.7, "V"),
        read(SWITCH_OUT, "squeezed", 0, "V"),
      ],
    });
    expect(found.candidates[0]?.parts).toEqual(["switch"]);
  });
  test("condemns a mechanical switch", () => {
    const found = diagnose({ readings: open });
    expect(found.candidates[0]?.parts).toEqual(["switch"]);
  });
});

test("a pack full at rest that collapses under the squeeze is weak, not flat and not dead", () => {
  const found = diagnose({
    readings: [
      supply[0]!,
      read(PACK, "pack-out", 20.4, "V"),
      {
        red: PACK[0],
        black: PACK[1],
        condition: "squeezed",
        samples: [20.4, 11.2, 7.4, 6.3, 6.1, 6.1],
        unit: "V",
      },
    ],
    observations: { "motor-turns": "slowly", "shaft-turns-by-hand": true },
  });
  expect(found.candidates[0]?.parts).toEqual(["pack"]);
  expect(found.candidates[0]?.faults[0]?.mode).toBe("weak");
  expect(state(found, "pack")).toBe("condemned");
});

test("a pack asleep behind its protection: nothing alone, its voltage once on the charger", () => {
  const found = diagnose({
    readings: [
      supply[0]!,
      { ...read(PACK, "pack-out", 0, "V"), proved: true },
      read(CHARGER, "charger-with-pack", 19.6, "V"),
    ],
  });
  expect(found.candidates[0]?.parts).toEqual(["pack"]);
  expect(found.candidates[0]?.faults[0]?.mode).toBe("asleep");
});

test("an intermittent brush: ohms that jump between closed and open while the shaft is turned", () => {
  const turned: Reading = {
    red: "brush-a",
    black: "brush-b",
    condition: "pack-out-shaft-turned",
    samples: [0.8, "OL", 0.9, "OL", "OL", 0.8, 0.9],
    unit: "Ω",
  };
  const winding: Reading = {
    red: "commutator-a",
    black: "commutator-b",
    condition: "pack-out-shaft-turned",
    samples: [0.5, 0.5, 0.6, 0.5],
    unit: "Ω",
  };
  const found = diagnose({
    readings: [...supply, read(["brush-a", "brush-b"], "pack-out", 0.8, "Ω"), turned, winding],
    observations: { "motor-turns": "jerks" },
  });
  expect(found.candidates[0]?.parts).toEqual(["brushes"]);
  expect(found.candidates[0]?.faults[0]?.mode).toBe("intermittent");
});

describe("two faults in series where the first hides the second", () => {
  const first = [
    ...supply,
    read(SWITCH_IN, "squeezed", 19.7, "V"),
    read(SWITCH_OUT, "squeezed", 0, "V"),
  ];

  test("after the first is certain it goes on, and what lies behind is not cleared", () => {
    const found = diagnose({ readings: first });
    expect(found.candidates[0]?.parts).toEqual(["switch"]);
    expect(found.settled).toBe(false);
    expect(found.next).not.toBeNull();
    for (const part of ["lead-red", "lead-black", "brushes", "motor"]) {
      expect(state(found, part), part).toBe("unknown");
    }
  });
  test("ohms without power find the second", () => {
    const found = diagnose({
      readings: [
        ...first,
        read(["switch-in-plus", "switch-out-plus"], "pack-out-squeezed", null, "Ω"),
        read(["switch-out-plus", "brush-a"], "pack-out", null, "Ω"),
        read(["switch-out-minus", "brush-b"], "pack-out", 0.3, "Ω"),
        read(["brush-a", "brush-b"], "pack-out", 0.9, "Ω"),
      ],
    });
    expect(found.candidates[0]?.parts).toEqual(["switch", "lead-red"]);
    expect(found.explanations).toContainEqual(["switch", "lead-red"]);
  });
});

test("readings that contradict each other raise a bad contact, not an absurd fault", () => {
  const found = diagnose({
    readings: [
      ...supply,
      read(["terminal-plus", "terminal-minus"], "squeezed", 0, "V"),
      read(SWITCH_IN, "squeezed", 19.6, "V"),
      read(SWITCH_OUT, "squeezed", 19.5, "V"),
      read(["brush-a", "brush-b"], "squeezed", 19.4, "V"),
    ],
    observations: { "motor-turns": true, "chuck-turns": true },
  });
  expect(found.doubts).toMatchObject([{ observation: 3, suspicion: "bad-contact" }]);
  expect(odds(found, "terminals")).toBeLessThan(0.05);
});

test("nothing powered is proposed where the cautions forbid it", () => {
  for (const cautions of [{ noPower: true }, { damagedPack: true }]) {
    const { next } = diagnose({ readings: [supply[0]!], cautions });
    expect(next?.condition).not.toMatch(/^(at-rest|squeezed|charger-with-pack|pack-on-load)$/);
    if ("noPower" in cautions) expect(next?.condition).not.toContain("known-pack");
  }
});

test("on mains the tool is only looked at, and only with its case closed", () => {
  const found = diagnose({
    kind: "corded-universal",
    tool: { nominal_V: 230 },
    readings: [read(["switch-in-live", "switch-out-live"], "unplugged-squeezed", null, "Ω")],
  });
  expect(found.candidates[0]?.parts).toEqual(["switch"]);
  expect(found.next?.condition).not.toBe("squeezed");
});

test("the odds are learnable: a shop that always finds the same fault suspects it first", () => {
  const experience = { tools: 300, faults: [{ part: "lead-red", mode: "open", count: 200 }] };
  const seen = { observations: { "motor-turns": false } };
  expect(diagnose(seen).candidates[0]?.parts).not.toEqual(["lead-red"]);
  expect(diagnose({ ...seen, experience }).candidates[0]?.parts).toEqual(["lead-red"]);
  const wrongMode = { tools: 3, faults: [{ part: "lead-red", mode: "opn", count: 1 }] };
  expect(() => diagnose({ experience: wrongMode })).toThrow('the nearest is "open"');
});
