import { describe, expect, test } from "vitest";
import "../patience.js";
import { diagnose } from "./written-case.js";
import type { Case, Line } from "./written-case.js";

/**
 * What a good technician does next: cheap, safe, and most telling first; the case stays closed as
 * long as that tells anything. Common practice, no source.
 */
interface Asked extends Case {
  readonly next: string | RegExp;
}

const CHARGER: Line = ["charger", "charger-empty", 21];
const PACK: Line = ["pack", "pack-out", 19.9];
const FED: readonly Line[] = [
  CHARGER,
  PACK,
  ["pack", "squeezed", 19.6],
  ["switch in", "squeezed", 19.5],
];
const DEAD = { "motor-turns": "no" };
const corded = { kind: "corded-universal", tool: { nominal_V: 230 } };

const asked: Readonly<Record<string, Asked>> = {
  "dead, nothing known: the pack under the squeeze, which also tells a jam": {
    seen: DEAD,
    next: "Measure volts from pack plus to pack minus (pack in the tool, trigger squeezed).",
  },
  "a full pack in a dead drill: does it reach the tool": {
    readings: [PACK],
    seen: DEAD,
    next: "Measure volts from tool terminal plus to tool terminal minus (pack in the tool, trigger squeezed).",
  },
  "a sound pack and charger, and no complaint: does it run": {
    readings: [CHARGER, PACK],
    next: "Look: The motor turns when the trigger is squeezed.",
  },
  "the motor turns and the chuck does not: hold the chuck and turn": {
    seen: { "motor-turns": "yes", "chuck-turns": "no" },
    next: "Look: The shaft turns by hand, without power (turned at the chuck).",
  },
  "a pack at nothing: does a charger wake it, or what of the tool without it": {
    readings: [["pack", "pack-out", 0]],
    seen: DEAD,
    next: /^Measure (volts from charger plus to charger minus \(charger plugged in, the pack on it\)|ohms from tool terminal plus to tool terminal minus)/,
  },
  "input there, nothing at the brushes: half way between": {
    readings: [...FED, ["motor", "squeezed", 0]],
    next: "Measure volts from switch output plus to switch output minus (pack in the tool, trigger squeezed).",
  },
  "output there, nothing at the brushes: one of the two leads": {
    readings: [
      ["switch out", "squeezed", 19.6],
      ["motor", "squeezed", 0.01],
    ],
    seen: DEAD,
    next: /^Take the motor leads off the switch\. Measure ohms from (red motor lead, off the switch to brush a|black motor lead, off the switch to brush b), at its lead/,
  },
  "an open switch, proved: what may lie hidden behind it": {
    readings: [
      ["pack", "squeezed", 20],
      ["switch in", "squeezed", 19.9],
      ["switch out", "squeezed", 0],
    ],
    seen: DEAD,
    next: /^(Take the motor leads off the switch\. Measure ohms from brush a, at its lead to brush b, at its lead|Look: The shaft turns by hand)/,
  },
  "a lead open at one touch: touch it again before the soldering iron": {
    readings: [
      ["pack", "squeezed", 19.9],
      ["switch in", "squeezed", 19.8],
      ["switch out", "squeezed", 0],
      ["switch", "pack-out-squeezed", null, "ohm"],
      ["lead-red-end brush-a", "pack-out", null, "ohm", "once"],
      ["lead-black-end brush-b", "pack-out", 0.2, "ohm"],
    ],
    seen: DEAD,
    next: "Repeat: measure ohms from red motor lead, off the switch to brush a, at its lead (pack out of the tool, trigger released), touching anew.",
  },
  "volts at the brushes and open through them: the brushes come out before the motor does": {
    readings: [
      ["motor", "squeezed", 19.6],
      ["motor", "pack-out", null, "ohm"],
    ],
    seen: DEAD,
    next: /^Look: The brushes, taken out/,
  },
  "a shaft that does not give under heavy current: motor or gears": {
    readings: [
      ["pack", "squeezed", [20, 15.5, 15.4]],
      ["motor", "squeezed", 14.6],
    ],
    seen: { ...DEAD, "shaft-turns-by-hand": false },
    next: /^Look: The motor's own shaft turns by hand, motor out|^Look: The gear train, motor out/,
  },
  "a dead brushless drill with a full pack: does it reach the tool": {
    kind: "cordless-brushless",
    tool: { nominal_V: 18 },
    readings: [PACK],
    seen: DEAD,
    next: "Measure volts from tool terminal plus to tool terminal minus (pack in the tool, trigger squeezed).",
  },
  "a charger that gives nothing: mains side first, unplugged, from pin to pin": {
    kind: "charger",
    tool: { nominal_V: 18, charger: "always-live" },
    readings: [["charger", "charger-empty", 0]],
    next: "Measure ohms from mains plug, live to mains plug, neutral (charger unplugged).",
  },
  "nothing outside a pack that is full inside: which side of the stack is cut": {
    kind: "pack",
    tool: { nominal_V: 18, cells: 5 },
    readings: [
      ["pack", "pack-at-rest", 0],
      ["tap-5 tap-0", "pack-at-rest", 19.6],
    ],
    next: /^Measure volts from (pack plus to bottom of the cell stack|tap above cell group 5 to pack minus)/,
  },
  "a pack with one dead group: do the others carry a load": {
    kind: "pack",
    tool: { nominal_V: 18, cells: 5 },
    readings: [
      ["pack", "pack-at-rest", 16.9],
      ...[3.92, 3.93, 1.12, 3.91, 3.92].map((volt, i): Line => [
        `tap-${i + 1} tap-${i}`,
        "pack-at-rest",
        volt,
      ]),
    ],
    next: "Measure volts from pack plus to pack minus (pack on a load of a few amperes (a car lamp)).",
  },
  "corded and open from pin to pin: the brushes, behind their caps": {
    ...corded,
    readings: [["plug", "unplugged-squeezed", null, "ohm"]],
    seen: DEAD,
    next: /^Look: The brushes, taken out/,
  },
  "corded, current through all of it, and dead: by hand": {
    ...corded,
    readings: [["plug", "unplugged-squeezed", 6.1, "ohm"]],
    seen: DEAD,
    next: "Look: The shaft turns by hand, without power (turned at the chuck).",
  },
};

describe("the next probe", () => {
  test.each(Object.entries(asked))("%s", (_, one) => {
    const { next } = diagnose(one);
    if (typeof one.next === "string") expect(next?.words).toBe(one.next);
    else expect(next?.words).toMatch(one.next);
    // Each outcome is told with what it would mean; together they are all that can be seen.
    const outcomes = next?.outcomes ?? [];
    expect(new Set(outcomes.map(({ outcome }) => outcome)).size).toBe(outcomes.length);
    expect(outcomes.reduce((sum, { probability }) => sum + probability, 0)).toBeGreaterThan(0.85);
  });

  test("what the motor was seen to do is not asked of the chuck again", () => {
    for (const seen of ["no", "slowly"]) {
      const { next } = diagnose({ readings: [PACK], seen: { "motor-turns": seen } });
      expect(next?.words).not.toContain("The chuck turns");
    }
  });

  test("a charger is not asked for while all points to the brushes", () => {
    const { next } = diagnose({
      readings: [PACK, ["motor", "squeezed", 19.6], ["motor", "pack-out", null, "ohm"]],
      seen: DEAD,
    });
    expect(next?.condition).not.toContain("charger");
  });
});

test("a doubtful reading is told as such, and no surer than it is", () => {
  const [doubt] = diagnose({
    readings: [
      ["pack", "squeezed", 19.9],
      ["switch in", "squeezed", 19.8],
      ["switch out", "squeezed", 0],
      ["red lead", "pack-out", null, "ohm", "once"],
    ],
    seen: DEAD,
  }).doubts;
  expect(doubt).toMatchObject({ observation: 3, suspicion: "bad-contact" });
  expect(doubt?.words).toContain("perhaps the probes had no contact");
});
