import type { Part, Sighting } from "./model.js";

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

export function driveSightings(motorPart: string): Sighting[] {
  const turning: Pick<Sighting, "values" | "from" | "otherwise"> = {
    values: ["yes", "slowly", "jerks", "no"],
    from: "motor",
    otherwise: {},
  };
  const shorted = {
    part: motorPart,
    mode: "short",
    p: { yes: 0.05, slowly: 0.6, jerks: 0.05, no: 0.3 },
  } as const;
  const slips = { part: "gear-train", mode: "slipping", p: NEVER } as const;
  const squeezed = (id: string, label: string, condition: string, chuck: boolean): Sighting => ({
    ...turning,
    id,
    label,
    condition,
    overrides: chuck ? [shorted, slips] : [shorted],
    cost_s: condition === "squeezed" ? 10 : 40,
    looks: [],
  });
  return [
    squeezed("motor-turns", "The motor turns when the trigger is squeezed", "squeezed", false),
    squeezed("chuck-turns", "The chuck turns when the trigger is squeezed", "squeezed", true),
    squeezed(
      "motor-turns-known-pack",
      "The motor turns with a known good pack",
      "known-pack-squeezed",
      false,
    ),
    squeezed(
      "chuck-turns-known-pack",
      "The chuck turns with a known good pack",
      "known-pack-squeezed",
      true,
    ),
    contactsLook,
    shaftByHand(motorPart),
    motorShaftByHand(motorPart),
  ];
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

function shaftByHand(motor: string): Sighting {
  const stuck = { yes: 0.06, no: 0.93, "chuck-only": 0.01 };
  return {
    id: "shaft-turns-by-hand",
    label: "The shaft turns by hand, pack out (turned at the chuck)",
    values: ["yes", "no", "chuck-only"],
    condition: "pack-out",
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
    looks: [{ step: "chuck-turn", values: { free: "yes", rough: "yes", stuck: "no" } }],
  };
}

/** Tells a seized motor from jammed gears. */
function motorShaftByHand(motor: string): Sighting {
  return {
    id: "motor-shaft-turns-by-hand",
    label: "The motor's own shaft turns by hand, motor out",
    values: ["yes", "no"],
    condition: "pack-out",
    from: "table",
    otherwise: { yes: 0.98, no: 0.02 },
    overrides: [{ part: motor, mode: "jam", p: { yes: 0.03, no: 0.97 } }],
    cost_s: 850,
    looks: [],
  };
}
