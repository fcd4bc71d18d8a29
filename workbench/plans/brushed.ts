import type { PlanInput } from "../plan/schema.js";
import { DEAD, FED, POWERED, RUNNING } from "./common.js";
import { LOADED_WATCH, ohms, RUNNING_WATCH, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

export const brushedPoints: PlanInput["points"] = [
  { id: "switch-in-plus", label: "switch input plus", part: "switch" },
  { id: "switch-in-minus", label: "switch input minus", part: "switch" },
  { id: "switch-out-plus", label: "switch output plus", part: "switch" },
  { id: "switch-out-minus", label: "switch output minus", part: "switch" },
  { id: "brush-a", label: "brush A", part: "brushes" },
  { id: "brush-b", label: "brush B", part: "brushes" },
];

/** A supply that is gone, as behind a pack that has switched off, is never what is expected. */
const LEAST = "cells * 2";

/**
 * From the terminals to the brushes under power. The limits are losses under load, because a joint
 * of an ohm is nothing to an ohmmeter and ten volts to a motor.
 */
export const brushedUnderPower: readonly StepInput[] = [
  volts("switch-in", "Into the switch, at rest", {
    instruction: "Trigger released. Red on switch input plus, black on switch input minus.",
    cautions: [...POWERED],
    needs: [{ step: "terminals-rest", verdict: "pass" }],
    red: "switch-in-plus",
    black: "switch-in-minus",
    condition: FED,
    low: 'result("terminals-rest") * 0.95',
    pass: "The supply reaches the switch.",
    fail: "A lead or joint between terminals and switch is open.",
  }),
  volts("switch-in-load", "Into the switch, under load", {
    instruction:
      "Stay on switch input plus and switch input minus. Squeeze the trigger, hold it, let go.",
    cautions: [...POWERED],
    needs: [
      { step: "switch-in", verdict: "pass" },
      { step: "terminals-load", verdict: "pass" },
    ],
    red: "switch-in-plus",
    black: "switch-in-minus",
    condition: { ...FED, trigger: "worked" },
    watch: LOADED_WATCH,
    more: { judged: "plateau" },
    low: `max(${LEAST}, result("terminals-load") - 0.5)`,
    pass: "The leads to the switch carry the load.",
    fail: "A lead or joint between terminals and switch is bad.",
  }),
  volts("switch-out", "Out of the switch, under load", {
    instruction:
      "Squeeze the trigger and hold it. Red on switch output plus, black on switch output minus; either way round.",
    cautions: [...POWERED],
    needs: [{ step: "switch-in", verdict: "pass" }],
    red: "switch-out-plus",
    black: "switch-out-minus",
    condition: RUNNING,
    watch: RUNNING_WATCH,
    low: `max(${LEAST}, first(result("switch-in-load"), result("switch-in") * 0.85) - 1)`,
    pass: "The switch passes the supply on.",
    fail: "The switch does not close, or closes with too much resistance.",
  }),
  volts("motor-volts", "At the brushes, under load", {
    instruction:
      "Squeeze the trigger and hold it. Red on brush A, black on brush B; either way round.",
    cautions: [...POWERED],
    needs: [{ step: "switch-out", verdict: "pass" }],
    red: "brush-a",
    black: "brush-b",
    condition: RUNNING,
    watch: RUNNING_WATCH,
    low: `max(${LEAST}, result("switch-out") - 0.5)`,
    pass: "The motor gets its voltage; if it stands still, the fault is in brushes or motor.",
    fail: "A lead between switch and brushes is bad.",
  }),
];

/**
 * Room for a meter that shows tenths of an ohm: this finds what is interrupted; what only loses
 * voltage was found under power.
 */
const THROUGH = "testLeads_ohm + 1.5";

export const switchWorks: StepInput = ohms("switch-works", "Switch, worked", {
  instruction:
    "Pack out. Red on switch input plus, black on switch output plus. Squeeze the trigger, hold it, let go.",
  red: "switch-in-plus",
  black: "switch-out-plus",
  condition: { ...DEAD, trigger: "worked" },
  watch: { kind: "change", window_s: 0.6, times: 1 },
  high: THROUGH,
  pass: "The switch closes and opens.",
  fail: "The switch does not close, does not open, or its contact is burnt.",
});

export const switchMinus: StepInput = ohms("switch-minus", "Minus through the switch", {
  instruction: "Pack out. Red on switch input minus, black on switch output minus.",
  red: "switch-in-minus",
  black: "switch-out-minus",
  condition: DEAD,
  high: THROUGH,
  pass: "The minus side is whole.",
  fail: "The minus side is interrupted at the switch.",
});

/** Leads, brushes and armature, pack out. */
export const brushedMotor: readonly StepInput[] = [
  ohms("lead-red", "Red lead to brush A", {
    instruction: "Pack out. Red on switch output plus, black on brush A.",
    red: "switch-out-plus",
    black: "brush-a",
    condition: DEAD,
    high: THROUGH,
    pass: "The red lead is whole.",
    fail: "The red lead is broken or badly joined.",
  }),
  ohms("lead-black", "Black lead to brush B", {
    instruction: "Pack out. Red on switch output minus, black on brush B.",
    red: "switch-out-minus",
    black: "brush-b",
    condition: DEAD,
    high: THROUGH,
    pass: "The black lead is whole.",
    fail: "The black lead is broken or badly joined.",
  }),
  ohms("motor-sweep", "Motor through the brushes, turned", {
    instruction:
      "Pack out. Red on brush A, black on brush B. Turn the chuck slowly by hand, a little at a time, with rests.",
    red: "brush-a",
    black: "brush-b",
    condition: { ...DEAD, shaft: "turned-by-hand" },
    watch: { kind: "sweep", duration_s: 12 },
    high: "testLeads_ohm + 4",
    pass: "Brushes and armature conduct at every angle.",
    fail: "A brush does not reach the commutator, or the armature is open at some angle.",
  }),
];
