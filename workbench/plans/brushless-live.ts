import type { PlanInput } from "../plan/schema.js";
import { FED, POWERED, RUNNING } from "./common.js";
import { PRACTICE } from "./sources.js";
import { LOADED_WATCH, RUNNING_WATCH, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

export const PHASES = ["u", "v", "w"] as const;
type Phase = (typeof PHASES)[number];

export const brushlessPoints: PlanInput["points"] = [
  { id: "controller-plus", label: "controller plus", part: "controller" },
  { id: "controller-minus", label: "controller minus", part: "controller" },
  { id: "trigger-supply", label: "trigger supply", part: "trigger" },
  { id: "trigger-signal", label: "trigger signal", part: "trigger" },
  ...PHASES.flatMap((phase) => {
    const label = phase.toUpperCase();
    return [
      {
        id: `sensor-${phase}`,
        label: `position sensor ${label}`,
        part: "position-sensors",
        aside: true,
      },
      { id: `bridge-${phase}`, label: `controller output ${label}`, part: "controller" },
      { id: `phase-${phase}`, label: `motor lead ${label}`, part: "phase-leads" },
    ];
  }),
  { id: "motor-body", label: "bare metal of the motor", part: "motor" },
];

const turning = [{ step: "chuck-turn", verdict: "pass" }] as const;
const supplied = [{ step: "controller-supply", verdict: "pass" }] as const;

/** From the terminals into the electronics. */
const electronics: readonly StepInput[] = [
  volts("controller-supply", "Into the controller", {
    instruction: "Trigger released. Red on controller plus, black on controller minus.",
    cautions: [...POWERED],
    needs: [{ step: "terminals-rest", verdict: "pass" }],
    red: "controller-plus",
    black: "controller-minus",
    condition: FED,
    low: 'result("terminals-rest") - 0.3',
    pass: "The supply reaches the controller.",
    fail: "A lead, a joint or the main fuse of the controller is open.",
  }),
  {
    kind: "look",
    id: "motor-runs",
    title: "Motor, trigger squeezed",
    instruction:
      "Squeeze the trigger fully for a second. What does the motor do? Let go at once if it hums, smokes or smells.",
    cautions: [...POWERED],
    // What does not turn by hand is not made to by force.
    needs: [...supplied, ...turning],
    choices: [
      { id: "even", label: "it runs evenly and at full speed", verdict: "pass" },
      { id: "rough", label: "it runs, but roughly, slowly or hot", verdict: "fail" },
      { id: "jerks", label: "it hums or jerks and does not start", verdict: "fail" },
      { id: "nothing", label: "nothing at all", verdict: "fail" },
    ],
  },
  volts("controller-load", "Into the controller, under load", {
    instruction:
      "Stay on controller plus and controller minus. Squeeze the trigger, hold it, let go.",
    cautions: [...POWERED],
    needs: [
      // A motor that stutters draws now this, now that.
      { step: "motor-runs", verdict: "pass" },
      { step: "terminals-load", verdict: "pass" },
    ],
    red: "controller-plus",
    black: "controller-minus",
    condition: { ...FED, trigger: "worked" },
    watch: LOADED_WATCH,
    low: 'max(cells * 2, result("terminals-load") - 0.5)',
    pass: "The leads to the controller carry the load.",
    fail: "A lead or joint between terminals and controller loses voltage.",
    more: { judged: "plateau" },
  }),
  volts("controller-held", "Into the controller, trigger held", {
    instruction:
      "Squeeze the trigger and hold it. Red on controller plus, black on controller minus.",
    cautions: [...POWERED],
    needs: [{ step: "motor-runs", verdict: "fail" }],
    red: "controller-plus",
    black: "controller-minus",
    condition: RUNNING,
    watch: RUNNING_WATCH,
    low: 'max(cells * 2, result("controller-supply") * 0.85)',
    pass: "The supply stays while the trigger is held: it is not the pack that gives up.",
    fail: "The supply breaks down as soon as the trigger is squeezed: the pack or a contact, or a motor that takes too much.",
  }),
  volts("trigger-supply", "Supply of the trigger", {
    instruction:
      "Squeeze the trigger a little, so that the electronics are awake. Red on trigger supply, black on controller minus.",
    cautions: [...POWERED],
    needs: [...supplied],
    red: "trigger-supply",
    black: "controller-minus",
    condition: RUNNING,
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
      condition: { ...FED, trigger: "worked" },
      watch: { kind: "change", window_s: 0.6, times: 1 },
      low: 'result("trigger-supply") * 0.5',
      high: 'result("trigger-supply") + 0.2',
      source: `fully squeezed more than half of the supply, never above it: ${PRACTICE}`,
      pass: "The trigger tells the controller that it is squeezed.",
      fail: "The trigger gives no signal, a weak one, or one that does not go away.",
    }),
    polarity: "as-marked",
  },
];

/** Restless by nature: a chopped wave through the averaging of an AC function. */
const ALTERNATING = { kind: "settle", window_s: 0.8, counts: 60 } as const;
/** Two phases of one controller, one hand and one pack, measured within seconds. */
const ALIKE = 0.15;
const ALIKE_SOURCE =
  `alike within 15 %, ${PRACTICE}. What an AC function shows of a chopped wave depends on the meter ` +
  "(averaging or true r.m.s., bandwidth): the figure means nothing, its ratio to the other phases does; same function, same trigger";

const RUN =
  "Squeeze the trigger fully and hold it; let go at once if the motor stalls, smokes or smells.";
const told: StepInput["needs"] = [{ step: "trigger-signal", verdict: "pass" }, ...turning];

/** On DC a zero can be proved on the known source, on AC it cannot: so first whether anything is there. */
const driven: StepInput = volts("phase-driven", "Phase U, driven at all", {
  instruction: `${RUN} Red on motor lead U, black on controller minus.`,
  cautions: [...POWERED],
  needs: told,
  red: "phase-u",
  black: "controller-minus",
  condition: RUNNING,
  watch: { kind: "settle", window_s: 0.8, counts: 30 },
  low: "cells * 0.4",
  source: `each phase is high a third of the time and low a third: up to half of the supply on average, less at part speed: ${PRACTICE}`,
  pass: "The controller drives the motor.",
  fail: "The controller gives nothing, or has given up: controller, position sensors, or a motor that it cannot start.",
});

/** On the motor's side of each joint: what the joint loses shows too. */
function running(phase: Phase, first: Phase | null): StepInput {
  const [own, other] = [phase.toUpperCase(), first?.toUpperCase() ?? ""];
  const least = "cells * 0.4";
  const before = `result("running-${first ?? ""}")`;
  return {
    ...volts(`running-${phase}`, `Phase ${own}, running`, {
      instruction: `Dial to AC volts. ${RUN} Red on motor lead ${own}, on the motor's side of its joint; black on controller minus.`,
      cautions: [...POWERED],
      needs: [
        { step: "phase-driven", verdict: "pass" },
        ...(first === null ? [] : [{ step: `running-${first}`, verdict: "judged" } as const]),
      ],
      red: `phase-${phase}`,
      black: "controller-minus",
      condition: RUNNING,
      watch: ALTERNATING,
      ...(first === null
        ? { low: least, source: `more than stray pick-up, ${PRACTICE}: the figure tells no more` }
        : {
            low: `max(${least}, ${before} * ${1 - ALIKE})`,
            high: `max(${least}, ${before} * ${1 + ALIKE})`,
            source: ALIKE_SOURCE,
          }),
      pass:
        first === null
          ? "Phase U alternates: V and W are judged beside it."
          : `Phase ${own} is driven like phase ${other}.`,
      fail:
        first === null
          ? "Phase U does not alternate: its half bridge stays where it is."
          : `Not like phase ${other}: the lower of the two has a half bridge, its driver or a joint at fault.`,
      // The same function of the same meter: its errors cancel.
      more: { rule: "simple" },
    }),
    coupling: "ac",
  };
}

const sensed: StepInput["needs"] = [
  { step: "sensors-there", verdict: "pass" },
  { step: "trigger-supply", verdict: "pass" },
];

/** Only where the motor does not run as it should. */
const sensors: readonly StepInput[] = [
  {
    kind: "look",
    id: "sensors-there",
    title: "Position sensors",
    instruction:
      "Let go of the trigger, dial to DC volts. Is there, beside the three motor leads, a thin cable of five wires or more from motor to controller?",
    needs: [{ step: "motor-runs", verdict: "fail" }],
    choices: [
      { id: "cable", label: "yes", verdict: "pass" },
      { id: "none", label: "no: it runs without sensors", verdict: "not-judged" },
    ],
  },
  ...PHASES.map((phase) => sensor(phase)),
];

function sensor(phase: Phase): StepInput {
  const others = 'result("sensor-u") - result("sensor-v")';
  const label = phase.toUpperCase();
  return volts(`sensor-${phase}`, `Position sensor ${label}`, {
    instruction: `Squeeze the trigger once and let go, so that the electronics are awake. Red on the output of position sensor ${label}, black on controller minus; the motor stands.`,
    cautions: [...POWERED],
    needs: sensed,
    red: `sensor-${phase}`,
    black: "controller-minus",
    condition: FED,
    ...(phase === "w"
      ? {
          low: `result("trigger-supply") * 0.5 - ${others}`,
          high: `result("trigger-supply") * 2.5 - ${others}`,
          source: `three sensors 120° apart are never all high and never all low: ${PRACTICE}`,
        }
      : {
          high: 'result("trigger-supply") + 0.3',
          source: `low or high, never above the supply of the logic: ${PRACTICE}`,
        }),
    pass:
      phase !== "w"
        ? "One of two levels: it counts together with the other two."
        : "The three sensors show a position that exists. Others may still be missing: turn the motor a little, pack out, and repeat.",
    fail:
      phase !== "w"
        ? "Above the logic supply: a lead of the motor touches the cable of the sensors."
        : "All three alike: the sensors, their supply or their cable is at fault.",
    more: { polarity: "as-marked" },
  });
}

/** Everything that is measured between terminals and motor with the pack in. */
export const brushlessUnderPower: readonly StepInput[] = [
  ...electronics,
  driven,
  running("u", null),
  running("v", "u"),
  running("w", "v"),
  ...sensors,
];
