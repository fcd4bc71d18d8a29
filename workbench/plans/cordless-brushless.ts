import type { PlanInput } from "../plan/schema.js";
import { chuckTurn, closed, runsAgain } from "./brushed.js";
import { brushlessPoints, brushlessUnderPower, PHASES } from "./brushless-live.js";
import {
  cellData,
  cordlessPoints,
  cordlessSupply,
  DEAD,
  knownData,
  leadData,
  packOut,
} from "./common.js";
import { drive } from "./drive.js";
import { PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

/** In the tool, case open, nothing powered, the three motor leads free. */
const LOOSE = { ...DEAD, motor: "disconnected" } as const;

/** Windings against each other; leads and probes are in every reading alike. */
const windings: readonly StepInput[] = [
  task("motor-unplug", "Free the three motor leads", {
    instruction:
      "Note which of the three motor leads goes where. Free them from the controller, so that windings and transistors are measured apart.",
    cautions: ["capacitor", "power-off-for-ohms"],
    sets: { motor: "disconnected" },
    removes: {
      what: "three motor leads",
      from: "controller",
      fasteners: 3,
      fastenerKind: "plug or joint",
    },
  }),
  {
    kind: "look",
    id: "phase-joints",
    title: "Joints of the motor leads",
    instruction: "Pack out. Look at the three joints at the controller, and at the leads.",
    choices: [
      { id: "clean", label: "bright and whole", verdict: "pass" },
      { id: "burnt", label: "brown, molten, loose or chafed", verdict: "fail" },
    ],
    photo: true,
  },
  winding("u", "v", null),
  winding("v", "w", 'result("winding-uv")'),
  winding("w", "u", 'result("winding-uv"), result("winding-vw")'),
  ohms("winding-earth", "Windings against the motor body", {
    instruction:
      "Pack out, motor leads free. Red on phase U, black on the bare metal of the motor.",
    red: "phase-u",
    black: "motor-body",
    condition: LOOSE,
    low: 1e6,
    source: `far above any winding; a hand-held meter finds only gross faults: ${PRACTICE}`,
    pass: "The windings do not touch the iron.",
    fail: "A winding touches the iron: the motor is to be changed.",
  }),
];

/**
 * Beside those that conduct; where none did, on its own. A few tenths of an ohm are all that a
 * hand-held meter tells: shorted turns show by current and drag, not here.
 */
function winding(a: string, b: string, others: string | null): StepInput {
  const [from, to] = [a.toUpperCase(), b.toUpperCase()];
  const most = "testLeads_ohm + 2";
  return ohms(`winding-${a}${b}`, `Winding ${from} to ${to}`, {
    instruction: `Pack out, motor leads free. Red on motor lead ${from}, black on motor lead ${to}.`,
    red: `phase-${a}`,
    black: `phase-${b}`,
    condition: LOOSE,
    ...(others === null
      ? { high: most }
      : {
          low: `first(${others}, 0) - 0.6`,
          high: `first(${others}, ${most}) + 0.6`,
        }),
    source:
      others === null
        ? `below 2 Ω in motors of this size: ${PRACTICE}`
        : `the three are alike, within what a hand-held meter can tell: ${PRACTICE}`,
    pass: "The winding and its two leads conduct.",
    fail: "Open, or not like the others: a winding, or the lead to it. Measured again at the motor's own terminals it tells which.",
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
      instruction: `Pack out, motor leads free. Dial to diode test. Red on ${name(red)}, black on ${name(black)}.`,
      cautions: ["capacitor"],
      needs: [{ step: "controller-empty", verdict: "pass" }],
      red,
      black,
      condition: LOOSE,
      low: 0.25,
      high: 0.9,
      source: `body diode of a silicon field-effect transistor: ${PRACTICE}`,
      pass: "The transistor is not shorted.",
      fail: "The transistor is shorted or its joint is open: the controller is to be changed.",
    }),
    quantity: "diode",
  };
}

/** With the leads free nothing brakes a sound rotor; shorted turns do. */
const rotorFree: StepInput = {
  kind: "look",
  id: "rotor-free",
  title: "Rotor, motor leads free",
  instruction:
    "Pack out, motor leads free and apart. Turn the chuck once more by hand; where a lock holds the spindle, turn the motor at its fan.",
  needs: [{ step: "chuck-turn", verdict: "pass" }],
  choices: [
    { id: "free", label: "it turns lightly, with the pull of its magnets", verdict: "pass" },
    { id: "drags", label: "it turns heavily, as if braked", verdict: "fail" },
  ],
};

/** Turned by hand before anything is squeezed: what is stuck is not fed. */
const supply: readonly StepInput[] = cordlessSupply.flatMap((step) =>
  step.id === "pack-in" ? [chuckTurn, step] : [step],
);

/** Cordless drill with a brushless motor: three phases, an electronic controller with capacitors. */
export const cordlessBrushless: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "cordless-brushless",
  title: "Cordless drill, brushless motor",
  revision: "2026-11-25",
  tool: { kind: "cordless-brushless", data: { ...cellData, ...knownData, ...leadData } },
  points: [...cordlessPoints, ...brushlessPoints],
  steps: [
    ...supply,
    ...brushlessUnderPower,
    {
      ...packOut,
      instruction: "Let go of the trigger and take the pack out. Turn the dial to DC volts.",
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
    rotorFree,
    ...drive,
    task("motor-plug", "Join the motor leads", {
      instruction:
        "Put the three motor leads back where they were; two of them swapped, and the motor turns the wrong way or jerks.",
      sets: { motor: "connected" },
      putsBack: ["motor-unplug"],
    }),
    closed,
    ...runsAgain("motor-runs"),
  ],
};
