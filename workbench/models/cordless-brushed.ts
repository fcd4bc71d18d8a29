import { cordlessConditions, motorFed } from "./conditions.js";
import { about, between } from "./model.js";
import type { Effect, Element, Manner, Part, Point, Probe, Sighting, ToolModel } from "./model.js";
import {
  chargerManners,
  point,
  supplyElements,
  supplyParts,
  supplyPoints,
  supplyProbes,
  terminalsPart,
  toolLamp,
  wire,
} from "./pack-side.js";
import {
  brushesLook,
  drivePart,
  driveSightings,
  fedSightings,
  gearsByHand,
  packSightings,
} from "./drive.js";
import { ohms, volts } from "./parts-of.js";
import { packData } from "./tool-data.js";
import type { PackData, ToolData } from "./tool-data.js";

/** A brushed cordless drill: supply, trigger switch, two leads, two brushes, winding, gears. */
export function cordlessBrushed(data: ToolData): ToolModel {
  return brushed("cordless-brushed", "Cordless tool, brushed motor", data);
}

/** The same with an electronic trigger, unless the file says that its trigger is another. */
export function cordlessBrushedElectronic(data: ToolData): ToolModel {
  const title = "Cordless tool, brushed motor, electronic trigger";
  return brushed("cordless-brushed-electronic", title, { trigger: "electronic", ...data });
}

function brushed(kind: string, title: string, data: ToolData): ToolModel {
  const pack = packData(data);
  return {
    kind,
    title,
    nominal_V: pack.nominal_V,
    parts: [...supplyParts(pack), terminalsPart(), ...toolParts(), drivePart("motor")],
    points: [...supplyPoints, ...toolPoints],
    elements: [...supplyElements(pack), ...toolElements(), feed(pack)],
    manners: [...chargerManners(data), ...triggerManners(data)],
    conditions: [...cordlessConditions, motorFed],
    sightings: [
      ...driveSightings("motor", "pack-out"),
      ...packSightings("motor"),
      brushesLook("open", "pack-out"),
      ...fedSightings("motor"),
      gearsByHand,
      runsUnasked,
    ],
    probes,
  };
}

/** The one thing that a contact which never opens shows to everybody. */
const runsUnasked: Sighting = {
  id: "runs-unasked",
  label: "The tool runs with its trigger released",
  values: ["no", "yes"],
  condition: "at-rest",
  from: "table",
  otherwise: { no: 0.995, yes: 0.005 },
  overrides: [{ part: "switch", mode: "short", p: { no: 0.1, yes: 0.9 } }],
  cost_s: 10,
  looks: [
    {
      step: "motor-turns",
      values: { unasked: "yes", runs: "no", slow: "no", jerks: "no", slips: "no" },
    },
  ],
};

/** A sound contact that is open, ohms. */
const NOT_CLOSED_OHM = 2e10;
const PRESSED = { trigger: ["squeezed", "worked"] } as const;

function toolElements(): Element[] {
  return [
    wire("supply-wire-plus", "terminal-plus", "switch-in-plus"),
    wire("supply-wire-minus", "terminal-minus", "switch-in-minus"),
    { ...switchContact("switch-plus", "switch-in-plus", "switch-out-plus"), when: PRESSED },
    {
      kind: "resistor",
      id: "switch-released",
      a: "switch-in-plus",
      b: "switch-out-plus",
      ohm: about(NOT_CLOSED_OHM, 2),
      when: { trigger: ["released"] },
    },
    switchContact("switch-minus", "switch-in-minus", "switch-out-minus"),
    wire("lead-red", "switch-out-plus", "brush-a"),
    wire("lead-black", "switch-out-minus", "brush-b"),
    brush("brush-a", "brush-a", "commutator-a"),
    brush("brush-b", "brush-b", "commutator-b"),
    toolLamp("switch-in-plus", "switch-in-minus"),
    {
      kind: "motor",
      id: "motor",
      a: "commutator-a",
      b: "commutator-b",
      ohm: about(0.35, 2),
      noLoad_A: about(2.2, 1.5),
    },
  ];
}

/** A bench supply at rated voltage, or a known good pack behind a fuse, at the motor's brushes. */
function feed({ cells }: PackData): Element {
  return {
    kind: "source",
    id: "feed",
    a: "brush-a",
    b: "brush-b",
    volt: between(cells * 3.5, cells * 4.2),
    ohm: about(0.1, 1.6),
    when: { pack: ["at-motor"] },
    limit_A: 10,
  };
}

function switchContact(id: string, a: string, b: string): Element {
  return { kind: "resistor", id, a, b, ohm: about(0.02, 2) };
}

/** With the few milliamperes of a meter a healthy brush shows more than under load. */
function brush(id: string, a: string, b: string): Element {
  return { kind: "resistor", id, a, b, ohm: about(0.15, 1.7) };
}

function toolParts(): Part[] {
  return [
    switchPart(),
    leadPart("lead-red", "Red lead"),
    leadPart("lead-black", "Black lead"),
    brushesPart(),
    motorPart(),
  ];
}

function switchPart(): Part {
  const plus = (effect: Pick<Effect, "ohm">): Effect => ({ element: "switch-plus", ...effect });
  const minus = (effect: Pick<Effect, "ohm">): Effect => ({ element: "switch-minus", ...effect });
  return {
    id: "switch",
    label: "Trigger switch",
    access: "open",
    modes: [
      {
        id: "open",
        words: "open: does not close when squeezed",
        odds: 0.035,
        ways: [[plus({ ohm: "open" })], [plus({ ohm: "open" })], [minus({ ohm: "open" })]],
      },
      {
        id: "high-resistance",
        words: "of high resistance: burnt contacts",
        odds: 0.02,
        ways: [[plus({ ohm: [1, 1000] })], [minus({ ohm: [1, 1000] })]],
      },
      {
        id: "intermittent",
        words: "intermittent: closes only sometimes",
        odds: 0.008,
        ways: [[plus({ ohm: "open" })]],
        shows: { still: 0.3, moved: 0.8, running: 0.4 },
      },
      {
        id: "short",
        words: "welded: does not open when released",
        odds: 0.004,
        ways: [[{ element: "switch-released", ohm: [0.005, 0.5] }]],
      },
    ],
  };
}

function leadPart(id: string, label: string): Part {
  return {
    id,
    label,
    access: "open",
    modes: [
      { id: "open", words: "open: broken", odds: 0.012, ways: [[{ element: id, ohm: "open" }]] },
      {
        id: "high-resistance",
        words: "of high resistance: bad crimp or few strands left",
        odds: 0.006,
        ways: [[{ element: id, ohm: [1, 1000] }]],
      },
    ],
  };
}

function brushesPart(): Part {
  const either = (effect: Pick<Effect, "ohm">): Effect[][] => [
    [{ element: "brush-a", ...effect }],
    [{ element: "brush-b", ...effect }],
  ];
  return {
    id: "brushes",
    label: "Brushes",
    access: "open",
    modes: [
      {
        id: "open",
        words: "open: worn out or hung up in the holder",
        odds: 0.03,
        ways: either({ ohm: "open" }),
      },
      {
        id: "high-resistance",
        words: "of high resistance: worn or glazed",
        odds: 0.015,
        ways: either({ ohm: [4, 1000] }),
      },
      {
        id: "intermittent",
        words: "intermittent: lose contact while the shaft turns",
        odds: 0.015,
        ways: either({ ohm: "open" }),
        shows: { still: 0.25, moved: 0.9, running: 0.2 },
      },
    ],
  };
}

function motorPart(): Part {
  return {
    id: "motor",
    label: "Motor winding",
    access: "motor-out",
    modes: [
      {
        id: "open",
        words: "open: burnt through",
        odds: 0.012,
        ways: [[{ element: "motor", ohm: "open" }]],
      },
      {
        id: "short",
        words: "shorted: draws many times its current",
        odds: 0.01,
        ways: [[{ element: "motor", ohm: [0.02, 0.08], noLoad_A: [6, 40] }]],
      },
      {
        id: "intermittent",
        words: "intermittent: open at some angles of the shaft, a burnt commutator bar",
        odds: 0.005,
        ways: [[{ element: "motor", ohm: "open" }]],
        // A motor that stops on its burnt bar stays there: it is found open more often than it turns past.
        shows: { still: 0.08, moved: 0.85, running: 0.15 },
      },
      {
        id: "jam",
        words: "seized: its shaft does not turn",
        odds: 0.006,
        ways: [[{ element: "motor", stalled: true }]],
      },
    ],
  };
}

const toolPoints: readonly Point[] = [
  point("switch-in-plus", "Switch input plus", "terminals", "open"),
  point("switch-in-minus", "Switch input minus", "terminals", "open"),
  point("switch-out-plus", "Switch output plus", "switch", "open"),
  point("switch-out-minus", "Switch output minus", "switch", "open"),
  {
    ...point("lead-red-end", "Red motor lead, off the switch", "switch", "open"),
    at: "switch-out-plus",
  },
  {
    ...point("lead-black-end", "Black motor lead, off the switch", "switch", "open"),
    at: "switch-out-minus",
  },
  point("brush-a", "Brush a, at its lead", "lead-red", "open"),
  point("brush-b", "Brush b, at its lead", "lead-black", "open"),
  point("commutator-a", "Commutator under brush a", "brushes", "motor-out"),
  point("commutator-b", "Commutator under brush b", "brushes", "motor-out"),
];

/** An electronic trigger does not conduct on ohms: without supply its transistor stays off. */
function triggerManners(data: ToolData): Manner[] {
  const kind = data.trigger ?? "mechanical";
  if (kind === "mechanical") return [];
  return [
    {
      id: "trigger-electronic",
      words: "The trigger is electronic: it conducts only when it is powered.",
      probability: kind === "unknown" ? 0.5 : 1,
      effects: [{ element: "switch-plus", ohm: "open", when: { pack: ["out"] } }],
    },
  ];
}

/** A released switch shorts the motor to brake it: ohms beside it would read its contact. */
const LOOSE = "Take the motor leads off the switch";

function loose(red: string, black: string, condition?: string): Probe {
  return { ...ohms(red, black, condition), first: LOOSE };
}

const probes: readonly Probe[] = [
  ...supplyProbes,
  volts("switch-in-plus", "switch-in-minus", "lamp-on-tool"),
  volts("switch-in-plus", "switch-in-minus", "squeezed"),
  volts("switch-in-plus", "switch-in-minus", "known-pack-squeezed"),
  volts("switch-out-plus", "switch-out-minus", "squeezed"),
  volts("switch-out-plus", "switch-out-minus", "known-pack-squeezed"),
  volts("brush-a", "brush-b", "squeezed"),
  volts("brush-a", "brush-b", "known-pack-squeezed"),
  volts("brush-a", "brush-b", "motor-fed"),
  ohms("terminal-plus", "terminal-minus", "pack-out-squeezed"),
  ohms("terminal-plus", "switch-in-plus"),
  ohms("terminal-minus", "switch-in-minus"),
  ohms("switch-in-plus", "switch-out-plus", "pack-out-squeezed"),
  ohms("switch-in-plus", "switch-out-plus", "pack-out"),
  ohms("switch-in-minus", "switch-out-minus", "pack-out-squeezed"),
  loose("lead-red-end", "brush-a"),
  loose("lead-black-end", "brush-b"),
  loose("brush-a", "brush-b"),
  loose("brush-a", "brush-b", "pack-out-shaft-turned"),
  ohms("brush-a", "commutator-a"),
  ohms("brush-b", "commutator-b"),
  ohms("commutator-a", "commutator-b"),
  ohms("commutator-a", "commutator-b", "pack-out-shaft-turned"),
];
