import type { Override, Sighting } from "./model.js";

export const PHASES = ["u", "v", "w"] as const;
type Phase = (typeof PHASES)[number];

/** Without supply the electronics say nothing, whatever is wrong behind them. */
const UNFED = { red: "controller-plus", black: "controller-minus", least_V: 5 };
/** Opened, live and on three points in turn: weighed as the plan's own work, common practice. */
const LIVE_LOOK_S = 45;

type Fault = readonly [part: string, mode: Override["mode"]];

function each(faults: readonly Fault[], p: Override["p"]): Override[] {
  return faults.map(([part, mode]) => ({ part, mode, p }));
}

const runs = (yes: number, slowly: number, jerks: number, no: number) => ({
  yes,
  slowly,
  jerks,
  no,
});

/** What the motor does when the trigger is squeezed. Odds: common practice, no source. */
export const motorTurns: Sighting = {
  id: "motor-turns",
  label: "The motor turns when the trigger is squeezed",
  values: ["yes", "slowly", "jerks", "no"],
  condition: "squeezed",
  from: "table",
  otherwise: runs(0.96, 0.02, 0.01, 0.01),
  overrides: [
    { part: "trigger", mode: "open", p: runs(0.01, 0.01, 0.01, 0.97) },
    { part: "controller", mode: "dead", p: runs(0.01, 0.01, 0.05, 0.93) },
    { part: "controller", mode: "short", p: runs(0.01, 0.03, 0.2, 0.76) },
    { part: "position-sensors", mode: "dead", p: runs(0.01, 0.05, 0.36, 0.58) },
    // The chuck stays, the motor hums or twitches; a good controller gives up at once.
    ...each(
      [
        ["motor", "jam"],
        ["gear-train", "jam"],
      ],
      runs(0.01, 0.01, 0.58, 0.4),
    ),
    ...each(
      [
        ["motor", "open"],
        ["phase-leads", "open"],
      ],
      runs(0.02, 0.06, 0.55, 0.37),
    ),
    { part: "controller", mode: "open", p: runs(0.08, 0.6, 0.27, 0.05) },
    { part: "motor", mode: "short", p: runs(0.06, 0.62, 0.2, 0.12) },
    { part: "phase-leads", mode: "high-resistance", p: runs(0.3, 0.6, 0.08, 0.02) },
    { part: "trigger", mode: "high-resistance", p: runs(0.35, 0.4, 0.05, 0.2) },
    { part: "pack", mode: "weak", p: runs(0.35, 0.35, 0.15, 0.15) },
    { part: "terminals", mode: "high-resistance", p: runs(0.3, 0.35, 0.15, 0.2) },
  ],
  fed: { ...UNFED, otherwise: runs(0.01, 0.05, 0.06, 0.88) },
  cost_s: 10,
  looks: [
    {
      step: "motor-runs",
      values: { even: "yes", rough: "slowly", jerks: "jerks", nothing: "no" },
    },
  ],
};

/** Of a motor that does not run, how likely nothing stays on its phases. */
const STANDS: readonly (readonly [Fault, number])[] = [
  [["trigger", "open"], 0.97],
  [["controller", "dead"], 0.97],
  [["controller", "short"], 0.93],
  [["position-sensors", "dead"], 0.9],
  [["motor", "open"], 0.75],
  [["phase-leads", "open"], 0.75],
  [["motor", "jam"], 0.7],
  [["gear-train", "jam"], 0.7],
  [["motor", "short"], 0.12],
];

/** The first of the three: whether anything is there at all. */
const firstPhase: Sighting = {
  id: "phase-u-driven",
  label: "DC volts from motor lead U to controller minus, trigger squeezed",
  values: ["there", "nothing"],
  condition: "squeezed",
  from: "table",
  otherwise: { there: 0.985, nothing: 0.015 },
  overrides: STANDS.map(([[part, mode], nothing]) => ({
    part,
    mode,
    p: { there: 1 - nothing, nothing },
  })),
  fed: { ...UNFED, otherwise: { there: 0.02, nothing: 0.98 } },
  cost_s: LIVE_LOOK_S,
  looks: [],
  readings: [
    {
      step: "phase-driven",
      values: { within: "there", below: "nothing", nothing: "nothing" },
    },
  ],
};

const beside = (lower: number, alike: number, higher: number, nothing: number) => ({
  lower,
  alike,
  higher,
  nothing,
});

/** One phase beside the one before it: only their ratio tells, not the figure. */
function besidePhase(phase: Phase, first: Phase): Sighting {
  const label = phase.toUpperCase();
  const lame = (part: string, mode: Override["mode"], element: string, p: Override["p"]) => ({
    part,
    mode,
    element,
    p,
  });
  const own = beside(0.8, 0.12, 0.03, 0.05);
  const other = beside(0.03, 0.12, 0.8, 0.05);
  return {
    id: `phase-${phase}-beside-${first}`,
    label: `AC volts from motor lead ${label} to controller minus, beside those of lead ${first.toUpperCase()}, trigger squeezed`,
    values: ["lower", "alike", "higher", "nothing"],
    condition: "squeezed",
    from: "table",
    otherwise: beside(0.015, 0.955, 0.015, 0.015),
    overrides: [
      ...STANDS.map(([[part, mode], nothing]) => {
        // While it tries; shorted turns run on, and the bridge forces the three alike.
        const uneven = part === "motor" && mode === "short" ? 0.06 : 0.25;
        const share = 1 - nothing;
        const odd = uneven * share;
        return { part, mode, p: beside(odd, share - 2 * odd, odd, nothing) };
      }),
      lame("controller", "open", `high-${phase}`, own),
      lame("controller", "open", `low-${phase}`, own),
      lame("controller", "open", `high-${first}`, other),
      lame("controller", "open", `low-${first}`, other),
      lame("phase-leads", "high-resistance", `joint-${phase}`, own),
      lame("phase-leads", "high-resistance", `joint-${first}`, other),
    ],
    fed: { ...UNFED, otherwise: beside(0.01, 0.01, 0.01, 0.97) },
    cost_s: LIVE_LOOK_S,
    looks: [],
    readings: [
      {
        step: `running-${phase}`,
        values: { within: "alike", below: "lower", above: "higher", nothing: "nothing" },
      },
    ],
  };
}

const SIDES = [
  ["low", "controller minus", "controller output"],
  ["high", "controller output", "controller plus"],
] as const;

/** The body diode of each transistor of the bridge, by the meter's diode test. */
const transistors: readonly Sighting[] = PHASES.flatMap((phase) =>
  SIDES.map(([side, red, black]): Sighting => {
    const output = `controller output ${phase.toUpperCase()}`;
    const name = (point: string) => (point === "controller output" ? output : point);
    const element = `${side}-${phase}`;
    return {
      id: `transistor-${element}`,
      label: `Diode test, red on ${name(red)}, black on ${name(black)}: about half a volt is sound`,
      values: ["sound", "shorted", "open"],
      condition: "pack-out",
      from: "table",
      otherwise: { sound: 0.985, shorted: 0.005, open: 0.01 },
      overrides: [
        {
          part: "controller",
          mode: "short",
          element,
          p: { sound: 0.02, shorted: 0.96, open: 0.02 },
        },
        // Its driver is dead more often than the transistor itself.
        {
          part: "controller",
          mode: "open",
          element,
          p: { sound: 0.68, shorted: 0.01, open: 0.31 },
        },
      ],
      cost_s: 15,
      looks: [],
      readings: [
        {
          step: element,
          values: { within: "sound", below: "shorted", above: "open", nothing: "open" },
        },
      ],
    };
  }),
);

/** Heat leaves its mark on a joint before it opens. */
const joints: Sighting = {
  id: "phase-joints",
  label: "The joints of the three motor leads at the controller",
  values: ["clean", "burnt"],
  condition: "pack-out",
  from: "table",
  otherwise: { clean: 0.96, burnt: 0.04 },
  overrides: PHASES.flatMap((phase) =>
    (["high-resistance", "open"] as const).map((mode) => ({
      part: "phase-leads",
      mode,
      element: `joint-${phase}`,
      p: { clean: 0.3, burnt: 0.7 },
    })),
  ),
  cost_s: 10,
  looks: [{ step: "phase-joints", values: { clean: "clean", burnt: "burnt" } }],
};

/** Three sensors 120° apart are never all high and never all low. */
const sensorCode: Sighting = {
  id: "sensor-code",
  label: "The three position sensors, trigger squeezed a little, motor at rest: not all alike",
  values: ["possible", "impossible"],
  condition: "squeezed",
  from: "table",
  otherwise: { possible: 0.985, impossible: 0.015 },
  overrides: [
    { part: "position-sensors", mode: "dead", p: { possible: 0.35, impossible: 0.65 } },
    {
      part: "controller",
      mode: "dead",
      element: "logic-feed",
      p: { possible: 0.03, impossible: 0.97 },
    },
  ],
  fed: { ...UNFED, otherwise: { possible: 0.03, impossible: 0.97 } },
  cost_s: LIVE_LOOK_S,
  looks: [],
  readings: [
    {
      step: "sensor-w",
      values: {
        within: "possible",
        below: "impossible",
        above: "impossible",
        nothing: "impossible",
      },
    },
  ],
};

/** Shorted turns brake a rotor that is turned by hand with its leads free. */
const rotorFree: Sighting = {
  id: "rotor-drags",
  label: "The rotor, turned by hand with its three leads free, turns as if braked",
  values: ["no", "yes"],
  condition: "pack-out",
  from: "table",
  otherwise: { no: 0.985, yes: 0.015 },
  overrides: [{ part: "motor", mode: "short", p: { no: 0.38, yes: 0.62 } }],
  cost_s: 60,
  looks: [{ step: "rotor-free", values: { free: "no", drags: "yes" } }],
};

export const brushlessSightings: readonly Sighting[] = [
  motorTurns,
  firstPhase,
  besidePhase("v", "u"),
  besidePhase("w", "v"),
  joints,
  rotorFree,
  sensorCode,
  ...transistors,
];
