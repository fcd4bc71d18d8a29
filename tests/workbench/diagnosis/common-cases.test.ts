import { describe, expect, test } from "vitest";
import { diagnose } from "./written-case.js";
import type { Case, Line } from "./written-case.js";
import "../patience.js";

/**
 * What comes over a repair bench, written down by hand: common practice, no source. Each says what
 * the first answer must be, and where it matters what is to be probed next. Whoever repairs tools
 * should agree with every one.
 */
const CHARGER: Line = ["charger", "charger-empty", 21];
const PACK: Line = ["pack", "pack-out", 19.9];
const LOADED: Line = ["pack", "squeezed", 19.6];
const FED: readonly Line[] = [CHARGER, PACK, LOADED, ["switch in", "squeezed", 19.5]];

const cases: Readonly<Record<string, Case & { readonly first: string; readonly mode?: string }>> = {
  "a pack with a dead cell: four volts short at rest, far down under load": {
    readings: [CHARGER, ["pack", "pack-out", 15.1], ["pack", "squeezed", 9.2]],
    seen: { "motor-turns": "slowly" },
    first: "pack",
  },
  "a pack that reads nothing": {
    readings: [CHARGER, ["pack", "pack-out", 0], ["charger", "charger-with-pack", 20.9]],
    first: "pack",
  },
  "a pack whose protection acts at each squeeze": {
    readings: [CHARGER, PACK, ["pack", "squeezed", 0], ["pack", "pack-on-load", 0]],
    first: "pack",
    mode: "tripped-protection",
  },
  "a dead charger: nothing with and without the pack": {
    readings: [
      ["charger", "charger-empty", 0],
      ["charger", "charger-with-pack", 17.2],
      ["pack", "pack-out", 17.2],
    ],
    first: "charger",
    mode: "dead",
  },
  "burnt terminals: the pack holds, the tool does not get it": {
    readings: [CHARGER, PACK, LOADED, ["terminals", "squeezed", 6.1]],
    seen: { "contacts-look": "burnt-or-loose", "motor-turns": "slowly" },
    first: "terminals",
  },
  "a switch that does not close": {
    readings: [...FED, ["switch out", "squeezed", 0], ["switch", "pack-out-squeezed", null, "ohm"]],
    first: "switch",
    mode: "open",
  },
  "burnt switch contacts: four volts lost across them": {
    readings: [...FED, ["switch out", "squeezed", 15.3]],
    seen: { "motor-turns": "slowly" },
    first: "switch",
    mode: "high-resistance",
  },
  "a switch that has welded: the tool runs by itself": {
    readings: [CHARGER, PACK, ["switch", "pack-out", 0.2, "ohm"]],
    first: "switch",
    mode: "short",
  },
  "a broken red lead": {
    readings: [
      ...FED,
      ["switch out", "squeezed", 19.4],
      ["motor", "squeezed", 0],
      ["red lead", "pack-out", null, "ohm"],
      ["black lead", "pack-out", 0.2, "ohm"],
    ],
    first: "lead-red",
  },
  "a black lead that hangs on a few strands": {
    readings: [
      ...FED,
      ["switch out", "squeezed", 19.4],
      ["motor", "squeezed", 14.1],
      ["red lead", "pack-out", 0.2, "ohm"],
      ["black lead", "pack-out", 3.1, "ohm"],
    ],
    first: "lead-black",
  },
  "worn brushes: volts at the motor, open through the brushes, the armature sound": {
    readings: [
      ...FED,
      ["switch out", "squeezed", 19.4],
      ["motor", "squeezed", 19.4],
      ["motor", "pack-out", null, "ohm"],
      ["commutator", "pack-out", 0.5, "ohm"],
    ],
    first: "brushes",
  },
  "a burnt-through armature": {
    readings: [
      ...FED,
      ["motor", "squeezed", 19.4],
      ["motor", "pack-out", null, "ohm"],
      ["commutator", "pack-out", null, "ohm"],
      ["brush-a commutator-a", "pack-out", 0.3, "ohm"],
      ["brush-b commutator-b", "pack-out", 0.3, "ohm"],
    ],
    first: "motor",
    mode: "open",
  },
  "seized gears: every voltage sinks to the motor, which hums; its own shaft is free once out": {
    readings: [
      CHARGER,
      PACK,
      ["pack", "squeezed", 15.2],
      ["motor", "squeezed", 14.4],
      ["motor", "pack-out", 0.8, "ohm"],
    ],
    seen: { "motor-turns": "no", "shaft-turns-by-hand": "no", "motor-shaft-turns-by-hand": "yes" },
    first: "gear-train",
    mode: "jam",
  },
  "a clutch that slips: the motor runs, the chuck does not": {
    readings: FED,
    seen: { "motor-turns": "yes", "chuck-turns": "no", "shaft-turns-by-hand": "chuck-only" },
    first: "gear-train",
    mode: "slipping",
  },
  "an electronic trigger whose transistor does not switch": {
    tool: { trigger: "electronic" },
    readings: [...FED, ["switch out", "squeezed", 0], ["motor", "pack-out", 0.9, "ohm"]],
    first: "switch",
  },
  "brushless: a transistor of the bridge has burnt through": {
    kind: "cordless-brushless",
    readings: [PACK, ["controller-plus controller-minus", "pack-out", 0.4, "ohm"]],
    seen: { "motor-turns": "no" },
    first: "controller",
    mode: "short",
  },
  "brushless: the trigger gives no signal": {
    kind: "cordless-brushless",
    readings: [
      PACK,
      ["controller-plus controller-minus", "squeezed", 19.6],
      ["trigger-supply trigger-signal", "pack-out-squeezed", null, "ohm"],
    ],
    seen: { "motor-turns": "no" },
    first: "trigger",
  },
  "brushless: all supplies there, trigger and windings sound, and still it stands": {
    kind: "cordless-brushless",
    readings: [
      PACK,
      ["controller-plus controller-minus", "squeezed", 19.6],
      ["trigger-supply trigger-signal", "pack-out-squeezed", 0.6, "ohm"],
      ["phase-u phase-v", "pack-out", 0.3, "ohm"],
      ["phase-v phase-w", "pack-out", 0.3, "ohm"],
      ["phase-w phase-u", "pack-out", 0.3, "ohm"],
    ],
    seen: { "motor-turns": "no", "shaft-turns-by-hand": "yes" },
    first: "controller",
    mode: "dead",
  },
  "charger: a blown mains fuse": {
    kind: "charger",
    tool: { charger: "always-live" },
    readings: [
      ["charger", "charger-empty", 0],
      ["plug-live board-live", "unplugged", 0.2, "ohm"],
      ["board-live fuse-out", "unplugged", null, "ohm"],
    ],
    first: "fuse",
  },
  "charger: a cord broken at the plug": {
    kind: "charger",
    tool: { charger: "always-live" },
    readings: [
      ["charger", "charger-empty", 0],
      ["plug-live board-live", "unplugged", null, "ohm"],
    ],
    first: "mains-cord",
  },
  "pack alone: one cell group at one volt": {
    kind: "pack",
    readings: [
      ["tap-1 tap-0", "pack-at-rest", 3.9],
      ["tap-2 tap-1", "pack-at-rest", 1],
      ["tap-3 tap-2", "pack-at-rest", 3.9],
    ],
    first: "cell-group-2",
  },
  "pack alone: cells full, nothing at its contacts": {
    kind: "pack",
    readings: [
      ["pack", "pack-at-rest", 0],
      ["tap-5 tap-0", "pack-at-rest", 19.8],
    ],
    first: "charge",
    mode: "asleep",
  },
  "pack alone: cells full, nothing at its contacts, and no charger wakes it": {
    kind: "pack",
    readings: [
      ["pack", "pack-at-rest", 0],
      ["tap-5 tap-0", "pack-at-rest", 19.8],
    ],
    seen: { "charger-lamp": "fault", "pack-wakes": "no" },
    first: "protection",
  },
  "corded: open from pin to pin, the cord itself broken": {
    kind: "corded-universal",
    readings: [
      ["plug-live plug-neutral", "unplugged-squeezed", null, "ohm"],
      ["plug-live switch-in-live", "unplugged", null, "ohm"],
    ],
    first: "mains-cord",
  },
  "corded: a field winding burnt open": {
    kind: "corded-universal",
    readings: [
      ["plug-live plug-neutral", "unplugged-squeezed", null, "ohm"],
      ["field-in field-out", "unplugged", null, "ohm"],
    ],
    first: "field",
  },
};

describe("the first answer", () => {
  test.each(Object.entries(cases))("%s", (_, one) => {
    const [top] = diagnose(one).candidates;
    expect(top?.parts).toEqual([one.first]);
    if (one.mode !== undefined) expect(top?.faults[0]?.mode).toBe(one.mode);
    expect(top?.odds).toBeGreaterThan(0.4);
  });
});

test("one reading alone makes nobody certain", () => {
  for (const line of [
    PACK,
    ["motor", "squeezed", 0],
    ["switch", "pack-out-squeezed", 3, "ohm"],
  ] as Line[]) {
    const [top] = diagnose({ readings: [line] }).candidates;
    expect(top?.odds, line.join(" ")).toBeLessThan(0.95);
  }
});
