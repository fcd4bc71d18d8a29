import type { PlanInput } from "../plan/schema.js";
import {
  cellData,
  chuckTurn,
  closeCase,
  cordlessPoints,
  cordlessSupply,
  DEAD,
  knownData,
  leadData,
  packOut,
  POWERED,
} from "./common.js";
import { PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

const LIVE = { pack: "in", case: "open" } as const;
const fed = [{ step: "terminals-rest", verdict: "pass" }] as const;
const PHASES = ["u", "v", "w"] as const;

/** From the terminals into the electronics, under power. */
const electronics: readonly StepInput[] = [
  volts("controller-supply", "Into the controller", {
    instruction: "Trigger released. Red on controller plus, black on controller minus.",
    cautions: [...POWERED],
    needs: [...fed],
    red: "controller-plus",
    black: "controller-minus",
    condition: LIVE,
    low: 'result("terminals-rest") - 0.3',
    pass: "The supply reaches the controller.",
    fail: "A lead, a joint or the main fuse of the controller is open.",
  }),
  volts("trigger-supply", "Supply of the trigger", {
    instruction:
      "Trigger squeezed a little, so that the electronics are awake. Red on trigger supply, black on controller minus.",
    cautions: [...POWERED],
    needs: [{ step: "controller-supply", verdict: "pass" }],
    red: "trigger-supply",
    black: "controller-minus",
    condition: { ...LIVE, trigger: "squeezed" },
    watch: { kind: "settle", window_s: 0.8, counts: 10 },
    low: 2.7,
    high: 5.5,
    source: `3.3 V or 5 V logic: ${PRACTICE}`,
    pass: "The controller supplies the trigger.",
    fail: "The controller makes no logic supply: it is dead, or the trigger shorts it.",
  }),
  {
    ...volts("trigger-signal", "Signal of the trigger", {
      instruction:
        "Red on trigger signal, black on controller minus. Squeeze the trigger fully, hold it, let go.",
      cautions: [...POWERED],
      needs: [{ step: "trigger-supply", verdict: "pass" }],
      red: "trigger-signal",
      black: "controller-minus",
      condition: { ...LIVE, trigger: "worked" },
      watch: { kind: "change", window_s: 0.6, times: 1 },
      low: 0.5,
      high: 'result("trigger-supply") + 0.2',
      pass: "The trigger tells the controller that it is squeezed.",
      fail: "The trigger gives no signal, or one that does not go away.",
    }),
    polarity: "as-marked",
  },
];

/** Windings against each other; leads and probes are in every reading alike. */
const windings: readonly StepInput[] = [
  task("motor-unplug", "Free the three motor leads", {
    instruction:
      "Note which of the three motor leads goes where. Free them from the controller, so that windings and transistors are measured apart.",
    cautions: ["capacitor", "power-off-for-ohms"],
    removes: {
      what: "three motor leads",
      from: "controller",
      fasteners: 3,
      fastenerKind: "plug or joint",
    },
  }),
  winding("u", "v", "", ""),
  winding("v", "w", 'result("winding-uv") - 0.6', 'result("winding-uv") + 0.6'),
  winding("w", "u", 'result("winding-uv") - 0.6', 'result("winding-uv") + 0.6'),
  ohms("winding-earth", "Windings against the motor body", {
    instruction:
      "Pack out, motor leads free. Red on phase U, black on the bare metal of the motor.",
    red: "phase-u",
    black: "motor-body",
    condition: DEAD,
    low: 1e6,
    source: `far above any winding; a hand-held meter finds only gross faults: ${PRACTICE}`,
    pass: "The windings do not touch the iron.",
    fail: "A winding touches the iron: the motor is to be changed.",
  }),
];

function winding(a: string, b: string, low: string, high: string): StepInput {
  const first = low === "";
  return ohms(`winding-${a}${b}`, `Winding ${a.toUpperCase()} to ${b.toUpperCase()}`, {
    instruction: `Pack out, motor leads free. Red on phase ${a.toUpperCase()}, black on phase ${b.toUpperCase()}.`,
    red: `phase-${a}`,
    black: `phase-${b}`,
    condition: DEAD,
    ...(first ? { high: "testLeads_ohm + 2" } : { low, high }),
    source: first
      ? `below 2 Ω in motors of this size: ${PRACTICE}`
      : `the three are alike, within what a hand-held meter can tell: ${PRACTICE}`,
    pass: "The winding conducts like the others.",
    fail: "A winding is open or not like the others: the motor is to be changed.",
  });
}

/**
 * The six transistors by their body diodes, one way round: about half a volt. Near nothing is a
 * shorted transistor, the usual death of a controller; over range is an open joint.
 */
const transistors: readonly StepInput[] = PHASES.flatMap((phase) => [
  diode(
    `low-${phase}`,
    `Lower transistor ${phase.toUpperCase()}`,
    "controller-minus",
    `bridge-${phase}`,
  ),
  diode(
    `high-${phase}`,
    `Upper transistor ${phase.toUpperCase()}`,
    `bridge-${phase}`,
    "controller-plus",
  ),
]);

function diode(id: string, title: string, red: string, black: string): StepInput {
  const name = (point: string) => point.replace("bridge-", "controller output ").replace("-", " ");
  return {
    ...ohms(id, title, {
      instruction: `Pack out. Dial to diode test. Red on ${name(red)}, black on ${name(black)}.`,
      cautions: ["capacitor"],
      needs: [{ step: "controller-empty", verdict: "pass" }],
      red,
      black,
      condition: DEAD,
      low: 0.25,
      high: 0.9,
      source: `body diode of a silicon field-effect transistor: ${PRACTICE}`,
      pass: "The transistor is not shorted.",
      fail: "The transistor is shorted or its joint is open: the controller is to be changed.",
    }),
    quantity: "diode",
  };
}

/** Cordless drill with a brushless motor: three phases, an electronic controller with capacitors. */
export const cordlessBrushless: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "cordless-brushless",
  title: "Cordless drill, brushless motor",
  revision: "2026-11-25",
  tool: { kind: "cordless-brushless", data: { ...cellData, ...knownData, ...leadData } },
  points: [
    ...cordlessPoints,
    { id: "controller-plus", label: "controller plus", part: "controller" },
    { id: "controller-minus", label: "controller minus", part: "controller" },
    { id: "trigger-supply", label: "trigger supply", part: "trigger", aside: true },
    { id: "trigger-signal", label: "trigger signal", part: "trigger", aside: true },
    ...PHASES.flatMap((phase) => [
      {
        id: `bridge-${phase}`,
        label: `controller output ${phase.toUpperCase()}`,
        part: "controller",
        aside: true,
      },
      { id: `phase-${phase}`, label: `motor phase ${phase.toUpperCase()}`, part: "motor" },
    ]),
    { id: "motor-body", label: "bare metal of the motor", part: "motor", aside: true },
  ],
  steps: [
    ...cordlessSupply,
    ...electronics,
    {
      ...packOut,
      instruction: "Let go of the trigger and take the pack out. Leave the dial on DC volts.",
    },
    {
      kind: "wait",
      id: "discharge",
      title: "Let the capacitor empty itself",
      instruction: "Wait ten seconds. Do not touch the controller.",
      cautions: ["capacitor"],
      duration_s: 10,
    },
    volts("controller-empty", "No voltage left in the controller", {
      instruction: "Pack out. Red on controller plus, black on controller minus.",
      cautions: ["capacitor"],
      red: "controller-plus",
      black: "controller-minus",
      condition: DEAD,
      high: 2,
      source: `below what disturbs ohms and hurts a meter: ${PRACTICE}`,
      pass: "The capacitor is empty: ohms may be measured.",
      fail: "The capacitor still holds charge: wait, then repeat this step.",
    }),
    ...windings,
    ...transistors,
    chuckTurn,
    task("motor-plug", "Join the motor leads", {
      instruction: "Put the three motor leads back where they were.",
      putsBack: ["motor-unplug"],
    }),
    closeCase,
  ],
};
