import { supplyLamp } from "./charger-lamp.js";
import type { Access, Part, Sighting } from "./model.js";

/** Gear train and what a person sees of the turning end; the same for every tool with a motor. */
export function drivePart(motor: string): Part {
  return {
    id: "gear-train",
    label: "Gear train",
    access: "motor-out",
    modes: [
      {
        id: "jam",
        words: "jammed",
        odds: 0.012,
        ways: [[{ element: motor, stalled: true }]],
      },
      {
        id: "slipping",
        words: "slipping: the motor turns, the chuck does not",
        odds: 0.01,
        ways: [[]],
      },
    ],
  };
}

const NEVER = { yes: 0.01, slowly: 0.01, jerks: 0.01, no: 0.97 };

/** What is seen of any tool that turns; `atRest`: the condition in which it is turned by hand. */
export function driveSightings(motorPart: string, atRest: string): Sighting[] {
  return [
    turns(
      motorPart,
      "motor-turns",
      "The motor turns when the trigger is squeezed",
      "squeezed",
      MOTOR,
    ),
    turns(
      motorPart,
      "chuck-turns",
      "The chuck turns when the trigger is squeezed",
      "squeezed",
      CHUCK,
    ),
    shaftByHand(motorPart, atRest),
    motorShaftByHand(motorPart, atRest),
  ];
}

/** What is seen besides of a tool with a pack. */
export function packSightings(motorPart: string): Sighting[] {
  return [
    turns(
      motorPart,
      "motor-turns-known-pack",
      "The motor turns with a known good pack",
      "known-pack-squeezed",
    ),
    turns(
      motorPart,
      "chuck-turns-known-pack",
      "The chuck turns with a known good pack",
      "known-pack-squeezed",
    ),
    contactsLook,
    supplyLamp,
  ];
}

/** The motor fed past everything that may be broken before it. */
export function fedSightings(motorPart: string): Sighting[] {
  return [
    turns(
      motorPart,
      "motor-turns-fed",
      "The motor turns when it is fed directly",
      "motor-fed",
      lookAt("motor-turns-fed", MOTOR_SAID),
    ),
    turns(
      motorPart,
      "chuck-turns-fed",
      "The chuck turns when the motor is fed directly",
      "motor-fed",
      lookAt("motor-turns-fed", CHUCK_SAID),
    ),
  ];
}

/**
 * What a plan's question about the running tool says of motor and chuck. A chuck that turns says it
 * of the motor too, and a motor that stands of the chuck: neither is counted twice.
 */
const MOTOR_SAID = { still: "no", slips: "yes" } as const;
const CHUCK_SAID = {
  runs: "yes",
  unasked: "yes",
  slow: "slowly",
  jerks: "jerks",
  slips: "no",
} as const;
const MOTOR = lookAt("motor-turns", MOTOR_SAID);
const CHUCK = lookAt("motor-turns", CHUCK_SAID);

function lookAt(step: string, values: Readonly<Record<string, string>>): Sighting["looks"] {
  return [{ step, values }];
}

const LOOK_S: Readonly<Record<string, number>> = {
  squeezed: 10,
  "known-pack-squeezed": 40,
  "motor-fed": 60,
};

function turns(
  motorPart: string,
  id: string,
  label: string,
  condition: string,
  looks: Sighting["looks"] = [],
): Sighting {
  const shorted = {
    part: motorPart,
    mode: "short",
    p: { yes: 0.05, slowly: 0.6, jerks: 0.05, no: 0.3 },
  } as const;
  const slips = { part: "gear-train", mode: "slipping", p: NEVER } as const;
  return {
    id,
    label,
    values: ["yes", "slowly", "jerks", "no"],
    condition,
    from: "motor",
    otherwise: {},
    ...(id.startsWith("chuck")
      ? { follows: id.replace("chuck", "motor"), overrides: [slips] }
      : { overrides: [shorted] }),
    cost_s: LOOK_S[condition] ?? 40,
    looks,
  };
}

/** What the terminals look like where pack and tool meet: no meter reaches that contact unloaded. */
const contactsLook: Sighting = {
  id: "contacts-look",
  label: "The contacts of tool and pack",
  values: ["clean", "burnt-or-loose"],
  condition: "pack-out",
  from: "table",
  otherwise: { clean: 0.97, "burnt-or-loose": 0.03 },
  overrides: [
    { part: "terminals", mode: "open", p: { clean: 0.4, "burnt-or-loose": 0.6 } },
    { part: "terminals", mode: "high-resistance", p: { clean: 0.4, "burnt-or-loose": 0.6 } },
  ],
  cost_s: 10,
  looks: [],
};

/** What every technician does before pulling a motor: the brushes out, and a look at them. */
export function brushesLook(access: Access, condition: string): Sighting {
  return {
    id: "brushes-look",
    label: "The brushes, taken out: length, faces, whether they slide freely in their holders",
    values: ["good", "worn-or-stuck"],
    condition,
    access,
    from: "table",
    otherwise: { good: 0.93, "worn-or-stuck": 0.07 },
    overrides: [
      { part: "brushes", mode: "open", p: { good: 0.12, "worn-or-stuck": 0.88 } },
      { part: "brushes", mode: "high-resistance", p: { good: 0.3, "worn-or-stuck": 0.7 } },
      { part: "brushes", mode: "intermittent", p: { good: 0.35, "worn-or-stuck": 0.65 } },
    ],
    cost_s: 60,
    looks: [{ step: "brush-length", values: { good: "good", worn: "worn-or-stuck" } }],
  };
}

function shaftByHand(motor: string, condition: string): Sighting {
  const stuck = { yes: 0.06, no: 0.93, "chuck-only": 0.01 };
  return {
    id: "shaft-turns-by-hand",
    label: "The shaft turns by hand, without power (turned at the chuck)",
    values: ["yes", "no", "chuck-only"],
    condition,
    from: "table",
    otherwise: { yes: 0.985, no: 0.005, "chuck-only": 0.01 },
    overrides: [
      { part: "gear-train", mode: "jam", p: stuck },
      { part: motor, mode: "jam", p: stuck },
      {
        part: "gear-train",
        mode: "slipping",
        p: { yes: 0.15, no: 0.02, "chuck-only": 0.83 },
      },
    ],
    cost_s: 15,
    looks: [
      {
        step: "chuck-turn",
        values: { free: "yes", rough: "yes", stuck: "no", loose: "chuck-only" },
      },
    ],
  };
}

/** Tells a seized motor from jammed gears. */
function motorShaftByHand(motor: string, condition: string): Sighting {
  return {
    id: "motor-shaft-turns-by-hand",
    label: "The motor's own shaft turns by hand, motor out",
    values: ["yes", "no"],
    condition,
    from: "table",
    otherwise: { yes: 0.98, no: 0.02 },
    overrides: [{ part: motor, mode: "jam", p: { yes: 0.03, no: 0.97 } }],
    access: "motor-out",
    cost_s: 10,
    looks: [{ step: "motor-shaft", values: { turns: "yes", stuck: "no" } }],
  };
}

/** With the motor out its pinion no longer hides the gears: turned by hand at their input. */
export const gearsByHand: Sighting = {
  id: "gears-by-hand",
  label: "The gear train, motor out, turned by hand at its input",
  values: ["drives", "slips", "stuck"],
  condition: "pack-out",
  from: "table",
  otherwise: { drives: 0.98, slips: 0.01, stuck: 0.01 },
  overrides: [
    { part: "gear-train", mode: "jam", p: { drives: 0.06, slips: 0.01, stuck: 0.93 } },
    { part: "gear-train", mode: "slipping", p: { drives: 0.12, slips: 0.86, stuck: 0.02 } },
  ],
  access: "motor-out",
  cost_s: 15,
  looks: [{ step: "gears-input", values: { drives: "drives", stuck: "stuck", slips: "slips" } }],
};
