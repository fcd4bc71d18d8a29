import type { PlanInput } from "../plan/schema.js";
import { chargerSteps, meterProof } from "./common.js";
import { CELL_FULL, PRACTICE } from "./sources.js";

/** In the tool, case open, pack in, motor running while the trigger is held. */
const RUNNING = { pack: "in", case: "open", trigger: "squeezed" } as const;
/** In the tool, case open, nothing powered. */
const DEAD = { pack: "out", case: "open" } as const;
const POWERED = ["pack", "moving-tool"] as const;
/** Held until it settles; longer than one commutation and shorter than the arm gets tired. */
const HELD = { kind: "settle", window_s: 0.8, counts: 10 } as const;
const OHMS = { kind: "settle", window_s: 0.8, counts: 3 } as const;
const fed = [{ step: "pack-rest", verdict: "pass" }] as const;

/**
 * Cordless drill, brushed motor, mechanical trigger switch: from the supply towards the work, first
 * what can be read under power, then, with the pack out, what only ohms can tell.
 */
export const cordlessBrushed: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "cordless-brushed",
  title: "Cordless drill, brushed motor, mechanical switch",
  revision: "2026-11-25",
  tool: {
    kind: "cordless-brushed",
    data: {
      cells: { label: "Lithium-ion cells in series", unit: "", default: 5 },
      knownSource_V: { label: "Voltage of the known source", unit: "V", default: 9 },
      testLeads_ohm: {
        label: "Resistance of the test leads, tips together",
        unit: "Ω",
        default: 0.2,
      },
    },
  },
  points: [
    { id: "known-plus", label: "known source plus", part: "known-source", source: true },
    { id: "known-minus", label: "known source minus", part: "known-source", source: true },
    { id: "charger-plus", label: "charger plus", part: "charger" },
    { id: "charger-minus", label: "charger minus", part: "charger" },
    { id: "pack-plus", label: "pack plus", part: "pack", source: true },
    { id: "pack-minus", label: "pack minus", part: "pack", source: true },
    { id: "terminal-plus", label: "tool terminal plus", part: "terminals" },
    { id: "terminal-minus", label: "tool terminal minus", part: "terminals" },
    { id: "switch-in-plus", label: "switch input plus", part: "switch" },
    { id: "switch-in-minus", label: "switch input minus", part: "switch" },
    { id: "switch-out-plus", label: "switch output plus", part: "switch" },
    { id: "switch-out-minus", label: "switch output minus", part: "switch" },
    { id: "brush-a", label: "brush A", part: "brushes" },
    { id: "brush-b", label: "brush B", part: "brushes" },
  ],
  steps: [
    meterProof,
    ...chargerSteps,
    {
      kind: "measure",
      id: "pack-open",
      title: "Pack, open circuit",
      instruction: "Pack out of the tool. Red on pack plus, black on pack minus.",
      cautions: ["pack", "lithium-damaged"],
      quantity: "voltage",
      coupling: "dc",
      red: "pack-plus",
      black: "pack-minus",
      polarity: "either",
      condition: {},
      watch: { kind: "settle", window_s: 1, counts: 3 },
      limits: {
        low: "cells * 3.5",
        high: "cells * 4.25",
        source: `3.5 V a cell: ${PRACTICE}; ${CELL_FULL}`,
      },
      means: {
        pass: "The pack is charged.",
        fail: "The pack is empty, has lost a cell, or its protection has switched off.",
      },
    },
    {
      kind: "do",
      id: "open-case",
      title: "Open the case",
      instruction:
        "Clamp the tool, chuck empty. Undo the case screws and lift the upper half off; leave every part in its seat.",
      sets: { case: "open" },
      removes: {
        what: "upper half of the case",
        from: "case",
        fasteners: 8,
        fastenerKind: "hexalobular screw, size 10",
      },
    },
    {
      kind: "do",
      id: "pack-in",
      title: "Put the pack in",
      instruction: "Put the pack in. Keep clear of the chuck and the gear train.",
      cautions: [...POWERED],
      sets: { pack: "in" },
    },
    {
      kind: "measure",
      id: "pack-rest",
      title: "Pack in the tool, at rest",
      instruction: "Trigger released. Red on pack plus, black on pack minus.",
      cautions: [...POWERED],
      quantity: "voltage",
      coupling: "dc",
      red: "pack-plus",
      black: "pack-minus",
      polarity: "either",
      condition: { pack: "in", case: "open" },
      watch: { kind: "settle", window_s: 1, counts: 3 },
      limits: {
        low: "cells * 2.5",
        high: "cells * 4.25",
        source: `2.5 V a cell, usual cut-off of the protection: ${PRACTICE}; ${CELL_FULL}`,
      },
      means: {
        pass: "The pack feeds the tool.",
        fail: "The pack feeds nothing: what follows under power is skipped.",
      },
    },
    {
      kind: "measure",
      id: "pack-sag",
      title: "Pack under load",
      instruction: "Stay on pack plus and pack minus. Squeeze the trigger, hold it, let go.",
      cautions: [...POWERED],
      needs: [...fed],
      quantity: "voltage",
      coupling: "dc",
      red: "pack-plus",
      black: "pack-minus",
      polarity: "either",
      condition: { pack: "in", case: "open", trigger: "worked" },
      watch: { kind: "sag", edge: 0.01, hold_s: 1.5 },
      judged: "plateau",
      limits: { low: 'result("pack-rest") * 0.85', source: PRACTICE },
      means: {
        pass: "The pack carries the load.",
        fail: "The pack collapses under load: a weak cell, or a motor that stalls.",
      },
    },
    {
      kind: "measure",
      id: "terminals-rest",
      title: "Tool terminals, at rest",
      instruction: "Trigger released. Red on tool terminal plus, black on tool terminal minus.",
      cautions: [...POWERED],
      needs: [...fed],
      quantity: "voltage",
      coupling: "dc",
      red: "terminal-plus",
      black: "terminal-minus",
      polarity: "either",
      condition: { pack: "in", case: "open" },
      watch: { kind: "settle", window_s: 1, counts: 3 },
      limits: { low: 'result("pack-rest") * 0.95', source: PRACTICE },
      means: {
        pass: "The terminals touch the pack.",
        fail: "The pack does not reach the terminals: bent, burnt or dirty contacts.",
      },
    },
    {
      kind: "measure",
      id: "terminals-load",
      title: "Tool terminals, under load",
      instruction:
        "Squeeze the trigger and hold it. Red on tool terminal plus, black on tool terminal minus.",
      cautions: [...POWERED],
      needs: [{ step: "terminals-rest", verdict: "pass" }],
      quantity: "voltage",
      coupling: "dc",
      red: "terminal-plus",
      black: "terminal-minus",
      polarity: "either",
      condition: RUNNING,
      watch: HELD,
      limits: {
        low: 'first(result("pack-sag") - 0.6, result("terminals-rest") * 0.85)',
        source: PRACTICE,
      },
      means: {
        pass: "The terminals carry the load.",
        fail: "Voltage is lost between pack and terminals: poor contacts; or the pack has switched off.",
      },
    },
    {
      kind: "measure",
      id: "switch-in",
      title: "Into the switch, under load",
      instruction:
        "Squeeze the trigger and hold it. Red on switch input plus, black on switch input minus.",
      cautions: [...POWERED],
      needs: [{ step: "terminals-rest", verdict: "pass" }],
      quantity: "voltage",
      coupling: "dc",
      red: "switch-in-plus",
      black: "switch-in-minus",
      polarity: "either",
      condition: RUNNING,
      watch: HELD,
      limits: { low: 'result("terminals-load") - 0.5', source: PRACTICE },
      means: {
        pass: "The supply reaches the switch.",
        fail: "A lead or joint between terminals and switch is bad.",
      },
    },
    {
      kind: "measure",
      id: "switch-out",
      title: "Out of the switch, under load",
      instruction:
        "Squeeze the trigger and hold it. Red on switch output plus, black on switch output minus; either way round.",
      cautions: [...POWERED],
      needs: [{ step: "switch-in", verdict: "pass" }],
      quantity: "voltage",
      coupling: "dc",
      red: "switch-out-plus",
      black: "switch-out-minus",
      polarity: "either",
      condition: RUNNING,
      watch: HELD,
      limits: { low: 'result("switch-in") - 1', source: PRACTICE },
      means: {
        pass: "The switch passes the supply on.",
        fail: "The switch does not close, or closes with too much resistance.",
      },
    },
    {
      kind: "measure",
      id: "motor-volts",
      title: "At the brushes, under load",
      instruction:
        "Squeeze the trigger and hold it. Red on brush A, black on brush B; either way round.",
      cautions: [...POWERED],
      needs: [{ step: "switch-out", verdict: "pass" }],
      quantity: "voltage",
      coupling: "dc",
      red: "brush-a",
      black: "brush-b",
      polarity: "either",
      condition: RUNNING,
      watch: HELD,
      limits: { low: 'result("switch-out") - 0.5', source: PRACTICE },
      means: {
        pass: "The motor gets its voltage; if it stands still, the fault is in brushes or motor.",
        fail: "A lead between switch and brushes is bad.",
      },
    },
    {
      kind: "do",
      id: "pack-out",
      title: "Take the pack out",
      instruction: "Let go of the trigger and take the pack out. Turn the dial to ohms.",
      cautions: ["power-off-for-ohms"],
      sets: { pack: "out" },
    },
    {
      ...ohms("switch-works", "Switch, worked", {
        red: "switch-in-plus",
        black: "switch-out-plus",
        instruction:
          "Pack out. Red on switch input plus, black on switch output plus. Squeeze the trigger, hold it, let go.",
        condition: { ...DEAD, trigger: "worked" },
        high: "testLeads_ohm + 1.5",
        pass: "The switch closes and opens.",
        fail: "The switch does not close, does not open, or its contact is burnt.",
      }),
      watch: { kind: "change", window_s: 0.6, times: 1 },
    },
    ohms("switch-minus", "Minus through the switch", {
      red: "switch-in-minus",
      black: "switch-out-minus",
      instruction: "Pack out. Red on switch input minus, black on switch output minus.",
      condition: DEAD,
      high: "testLeads_ohm + 1.5",
      pass: "The minus side is whole.",
      fail: "The minus side is interrupted at the switch.",
    }),
    ohms("lead-red", "Red lead to brush A", {
      red: "switch-out-plus",
      black: "brush-a",
      instruction: "Pack out. Red on switch output plus, black on brush A.",
      condition: DEAD,
      high: "testLeads_ohm + 1.5",
      pass: "The red lead is whole.",
      fail: "The red lead is broken or badly joined.",
    }),
    ohms("lead-black", "Black lead to brush B", {
      red: "switch-out-minus",
      black: "brush-b",
      instruction: "Pack out. Red on switch output minus, black on brush B.",
      condition: DEAD,
      high: "testLeads_ohm + 1.5",
      pass: "The black lead is whole.",
      fail: "The black lead is broken or badly joined.",
    }),
    {
      ...ohms("motor-sweep", "Motor through the brushes, turned", {
        red: "brush-a",
        black: "brush-b",
        instruction:
          "Pack out. Red on brush A, black on brush B. Turn the chuck slowly by hand, a little at a time, with rests.",
        condition: { ...DEAD, shaft: "turned-by-hand" },
        high: "testLeads_ohm + 4",
        pass: "Brushes and armature conduct at every angle.",
        fail: "A brush does not reach the commutator, or the armature is open at some angle.",
      }),
      watch: { kind: "sweep", duration_s: 12 },
    },
    {
      kind: "look",
      id: "shaft-by-hand",
      title: "Chuck, turned by hand",
      instruction: "Pack out. Turn the chuck once round by hand and feel.",
      choices: [
        { id: "turns", label: "it turns the motor along", verdict: "pass" },
        { id: "blocked", label: "it is blocked", verdict: "fail" },
        { id: "free-without-motor", label: "it turns without the motor", verdict: "fail" },
      ],
    },
    {
      kind: "do",
      id: "close-case",
      title: "Close the case",
      instruction:
        "Put the upper half of the case back and do its screws up; none may be left over. Then touch the probe tips together.",
      cautions: ["power-off-for-ohms"],
      sets: { case: "closed" },
    },
  ],
};

type MeasureInput = Extract<PlanInput["steps"][number], { kind: "measure" }>;

interface OhmsStep {
  readonly red: string;
  readonly black: string;
  readonly instruction: string;
  readonly condition: MeasureInput["condition"];
  readonly high: string;
  readonly pass: string;
  readonly fail: string;
}

/**
 * Ohms between two points of the dead tool. The limit leaves room for a meter with tenths of an
 * ohm: what loses voltage under load has been found under power before.
 */
function ohms(id: string, title: string, step: OhmsStep): MeasureInput {
  const { red, black, instruction, condition, high, pass, fail } = step;
  return {
    kind: "measure",
    id,
    title,
    instruction,
    cautions: ["power-off-for-ohms"],
    quantity: "resistance",
    red,
    black,
    condition,
    watch: OHMS,
    limits: { high, source: PRACTICE },
    means: { pass, fail },
  };
}
