import type { PlanInput } from "../plan/schema.js";
import { closeCase, cordlessSupply, DEAD, FED, POWERED, RUNNING } from "./common.js";
import { drive } from "./drive.js";
import { motorFedDirectly } from "./motor-fed.js";
import { LOADED_WATCH, ohms, RUNNING_WATCH, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

export const brushedPoints: PlanInput["points"] = [
  { id: "switch-in-plus", label: "switch input plus", part: "switch" },
  { id: "switch-in-minus", label: "switch input minus", part: "switch" },
  { id: "switch-out-plus", label: "switch output plus", part: "switch" },
  { id: "switch-out-minus", label: "switch output minus", part: "switch" },
  { id: "lead-red-end", label: "red motor lead, off the switch", part: "lead-red" },
  { id: "lead-black-end", label: "black motor lead, off the switch", part: "lead-black" },
  { id: "brush-a", label: "brush A", part: "brushes" },
  { id: "brush-b", label: "brush B", part: "brushes" },
];

/** What a person saw and heard while the trigger was held; of the running tool, or fed directly. */
export const TURNING: Extract<StepInput, { kind: "look" }>["choices"] = [
  { id: "runs", label: "motor and chuck ran up freely", verdict: "pass" },
  { id: "still", label: "nothing turned", verdict: "fail" },
  { id: "slow", label: "slow, labouring, sparking or smelling", verdict: "fail" },
  { id: "jerks", label: "by jerks, or only after a nudge", verdict: "fail" },
  { id: "slips", label: "the motor ran, the chuck stood", verdict: "fail" },
  { id: "unasked", label: "it ran with the trigger released", verdict: "fail" },
];

/** Asked after the trigger has been worked for the measurements before: nobody squeezes again for it. */
const motorTurns: StepInput = {
  kind: "look",
  id: "motor-turns",
  title: "What the motor did",
  instruction: "Trigger released. Say what motor and chuck did while you held the trigger.",
  cautions: [...POWERED],
  needs: [{ step: "pack-sag", verdict: "any" }],
  choices: TURNING,
};

/** Before any power: a tool that is stuck or grinds is not run to see what its pack does. */
export const chuckTurn: StepInput = {
  kind: "look",
  id: "chuck-turn",
  title: "Chuck, turned by hand",
  instruction:
    "Pack out. Turn the chuck once round by hand and feel; where a spindle lock holds it, turn the motor at its fan.",
  choices: [
    { id: "free", label: "it turns freely and takes the motor along", verdict: "pass" },
    { id: "rough", label: "it is rough or grinds", verdict: "fail" },
    { id: "stuck", label: "it does not turn", verdict: "fail" },
    { id: "loose", label: "it turns and takes nothing along", verdict: "fail" },
  ],
};
const freeToTurn = { step: "chuck-turn", verdict: "pass" } as const;
const LOADED = ["pack-sag", "terminals-load"];

/** The supply of every cordless tool, with a hand at the chuck before the pack goes in. */
export const brushedSupply: readonly StepInput[] = cordlessSupply.flatMap((step): StepInput[] => {
  if (step.id === "pack-in") return [chuckTurn, step];
  return LOADED.includes(step.id)
    ? [{ ...step, needs: [...(step.needs ?? []), freeToTurn] }]
    : [step];
});

/** A supply that is gone, as behind a pack that has switched off, is never what is expected. */
const LEAST = "cells * 2";

/**
 * From the terminals to the brushes under power. The limits are losses under load, because a joint
 * of an ohm is nothing to an ohmmeter and ten volts to a motor.
 */
export const brushedUnderPower: readonly StepInput[] = [
  motorTurns,
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
      "Stay on switch input plus and switch input minus. Squeeze the trigger fully, hold it, let go.",
    cautions: [...POWERED],
    needs: [
      { step: "switch-in", verdict: "pass" },
      { step: "terminals-load", verdict: "judged" },
    ],
    red: "switch-in-plus",
    black: "switch-in-minus",
    condition: { ...FED, trigger: "worked" },
    watch: LOADED_WATCH,
    more: { judged: "plateau" },
    low: `max(${LEAST}, result("terminals-load") - 0.5)`,
    pass: "The leads to the switch carry the load.",
    fail: "A lead or joint between terminals and switch is bad; or the pack has switched off.",
  }),
  volts("switch-out", "Out of the switch, under load", {
    instruction:
      "Squeeze the trigger fully and hold it. Red on switch output plus, black on switch output minus; either way round.",
    cautions: [...POWERED],
    needs: [{ step: "switch-in", verdict: "pass" }, freeToTurn],
    red: "switch-out-plus",
    black: "switch-out-minus",
    condition: RUNNING,
    watch: RUNNING_WATCH,
    low: `max(${LEAST}, first(result("switch-in-load"), result("terminals-load"), result("switch-in") * 0.85) - 1)`,
    pass: "The switch passes the supply on.",
    fail: "The switch does not close, or closes with too much resistance; or the pack has switched off.",
  }),
  volts("motor-volts", "At the brushes, under load", {
    instruction:
      "Squeeze the trigger fully and hold it. Red on brush A, black on brush B; either way round.",
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
    "Pack out. Red on switch input plus, black on switch output plus. Squeeze the trigger fully, hold it, let go.",
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

/** In the tool, case open, motor leads off the switch. */
const LOOSE = { ...DEAD, motor: "disconnected" } as const;

/**
 * A switch that brakes the motor shorts it when released. Ohms beside it would read its contact: a
 * broken lead or a worn brush would pass.
 */
const motorOff: StepInput = task("motor-off", "Take the motor leads off the switch", {
  instruction:
    "Pack out. Take both motor leads off the switch and keep their ends apart. Mark which was plus.",
  cautions: ["power-off-for-ohms"],
  sets: { motor: "disconnected" },
  removes: { what: "both motor leads", from: "switch output" },
});

const motorOn: StepInput = task("motor-on", "Put the motor leads back", {
  instruction:
    "Put both motor leads back on the switch, plus to plus, and pull on each. Then touch the probe tips together.",
  sets: { motor: "connected" },
  putsBack: ["motor-off"],
});

const leads: readonly StepInput[] = [
  ohms("lead-red", "Red lead to brush A", {
    instruction: "Red on the free end of the red motor lead, black on brush A. Bend the lead.",
    red: "lead-red-end",
    black: "brush-a",
    condition: LOOSE,
    high: THROUGH,
    pass: "The red lead is whole.",
    fail: "The red lead is broken or badly joined.",
  }),
  ohms("lead-black", "Black lead to brush B", {
    instruction: "Red on the free end of the black motor lead, black on brush B. Bend the lead.",
    red: "lead-black-end",
    black: "brush-b",
    condition: LOOSE,
    high: THROUGH,
    pass: "The black lead is whole.",
    fail: "The black lead is broken or badly joined.",
  }),
];

const motorSweep: StepInput = ohms("motor-sweep", "Motor through the brushes, turned", {
  instruction:
    "Red on brush A, black on brush B. Turn the chuck slowly by hand, a little at a time, with rests; where a spindle lock holds it, turn the motor at its fan.",
  red: "brush-a",
  black: "brush-b",
  condition: { ...LOOSE, shaft: "turned-by-hand" },
  watch: { kind: "sweep", duration_s: 12 },
  high: "testLeads_ohm + 4",
  pass: "Brushes and armature conduct at every angle. Shorted turns do not show on ohms.",
  fail: "A brush does not reach the commutator, or the armature is open at some angle.",
});

const brushLength: StepInput = {
  kind: "look",
  id: "brush-length",
  title: "Brushes",
  instruction:
    "Pack out. Look at both brushes: length, spring, movement in the holder, colour of the commutator.",
  choices: [
    { id: "good", label: "long enough, free in the holder", verdict: "pass" },
    { id: "worn", label: "worn, stuck or broken", verdict: "fail" },
    { id: "hidden", label: "inside a closed motor, not to be seen", verdict: "not-judged" },
  ],
  photo: true,
};

export const closed: StepInput = {
  ...closeCase,
  instruction: `${(closeCase as { instruction: string }).instruction} After a repair run this plan again from its start: it is expected to pass.`,
};

/** A tool that was opened is run once before it is handed back: a lead may be pinched. */
export const runsAgain = (ran: string): readonly StepInput[] => [
  task("pack-in-again", "Put the pack in once more", {
    instruction: "Clamp the tool, chuck empty, case closed. Put the pack in.",
    cautions: [...POWERED],
    needs: [{ step: ran, verdict: "pass" }],
    sets: { pack: "in" },
  }),
  {
    kind: "look",
    id: "runs-again",
    title: "Closed up, it runs as before",
    instruction:
      "Squeeze the trigger fully, in both directions, and let go. Say whether it runs and stops as before.",
    cautions: [...POWERED],
    needs: [{ step: "pack-in-again", verdict: "any" }],
    choices: [
      { id: "runs", label: "as before", verdict: "pass" },
      { id: "worse", label: "not as before: open it again", verdict: "fail" },
    ],
  },
  task("pack-out-again", "Take the pack out", {
    instruction: "Take the pack out of the tool.",
    needs: [{ step: "pack-in-again", verdict: "any" }],
    sets: { pack: "out" },
  }),
];

/** Leads, brushes, armature and gears with the pack out, the motor fed past the switch, the way back. */
export const brushedMotor: readonly StepInput[] = [
  motorOff,
  ...leads,
  motorSweep,
  brushLength,
  ...motorFedDirectly(TURNING.filter(({ id }) => id !== "unasked")),
  ...drive,
  motorOn,
  closed,
  ...runsAgain("motor-turns"),
];
