import { condition } from "./conditions.js";
import { brushesLook, drivePart, driveSightings } from "./drive.js";
import { about, between } from "./model.js";
import type {
  Effect,
  Element,
  FaultMode,
  Manner,
  NamedCondition,
  Part,
  Point,
  Probe,
  Sighting,
  ToolModel,
} from "./model.js";
import { point, wire } from "./pack-side.js";
import { jointPart, mode, ohms } from "./parts-of.js";
import type { ToolData } from "./tool-data.js";

/**
 * A corded tool with a universal motor: cord, switch, field, brushes and armature in one
 * loop. Everything is measured unplugged; the only powered evidence is whether it turns.
 */
export function cordedUniversal(data: ToolData): ToolModel {
  const nominal_V = data.nominal_V ?? 230;
  return {
    kind: "corded-universal",
    title: "Corded tool, universal motor",
    nominal_V,
    parts: [...parts, drivePart("armature")],
    points,
    elements: elements(nominal_V),
    manners: manners(data),
    conditions,
    // Mostly behind caps that unscrew from outside.
    sightings: [
      ...driveSightings("armature", "unplugged"),
      brushesLook("closed", "unplugged"),
      barsLook,
      earthedLook,
    ],
    probes,
  };
}

const PRESSED = { trigger: ["squeezed", "worked"] } as const;

function elements(nominal_V: number): Element[] {
  return [
    {
      kind: "source",
      id: "mains",
      a: "plug-live",
      b: "plug-neutral",
      volt: between(nominal_V * 0.95, nominal_V * 1.05),
      ohm: about(0.5, 2),
      when: { mains: ["plugged"] },
    },
    wire("cord-live", "plug-live", "switch-in-live"),
    wire("cord-neutral", "plug-neutral", "switch-in-neutral"),
    // The discharge resistor of the suppression capacitor; many have none.
    {
      kind: "resistor",
      id: "suppressor",
      a: "switch-in-live",
      b: "switch-in-neutral",
      ohm: about(7e5, 1.8),
    },
    {
      kind: "resistor",
      id: "switch",
      a: "switch-in-live",
      b: "switch-out-live",
      ohm: about(0.03, 2),
      when: PRESSED,
    },
    wire("lead-field", "switch-out-live", "field-in"),
    { kind: "resistor", id: "field", a: "field-in", b: "field-out", ohm: about(2.5, 1.8) },
    wire("lead-brush-a", "field-out", "brush-a"),
    wire("lead-brush-b", "switch-out-neutral", "brush-b"),
    {
      kind: "resistor",
      id: "switch-neutral",
      a: "switch-in-neutral",
      b: "switch-out-neutral",
      ohm: about(0.03, 2),
      when: PRESSED,
    },
    { kind: "resistor", id: "brush-a", a: "brush-a", b: "commutator-a", ohm: about(0.3, 1.8) },
    { kind: "resistor", id: "brush-b", a: "brush-b", b: "commutator-b", ohm: about(0.3, 1.8) },
    {
      kind: "motor",
      id: "armature",
      a: "commutator-a",
      b: "commutator-b",
      ohm: about(2, 1.8),
      noLoad_A: about(1.2, 1.5),
    },
    wire("cord-earth", "plug-earth", "body"),
    { kind: "resistor", id: "insulation", a: "switch-out-live", b: "body", ohm: about(2e9, 3) },
  ];
}

const NO_DISCHARGE: Manner = {
  id: "no-discharge-resistor",
  words: "The suppression capacitor has no discharge resistor, or there is no capacitor.",
  probability: 0.4,
  effects: [{ element: "suppressor", ohm: "open" }],
};

/** Most hand-held tools are double insulated: common practice, no source. */
function manners({ insulation = "unknown" }: ToolData): Manner[] {
  if (insulation === "class-1") return [NO_DISCHARGE];
  return [
    NO_DISCHARGE,
    {
      id: "double-insulated",
      words: "The tool is double insulated: its cord has no protective conductor.",
      probability: insulation === "unknown" ? 0.7 : 1,
      effects: [{ element: "cord-earth", ohm: "open" }],
      without: ["protective-conductor"],
    },
  ];
}

function brushes(): Part {
  const elements = ["brush-a", "brush-b"];
  const joint = jointPart({
    id: "brushes",
    label: "Brushes",
    access: "open",
    elements,
    openOdds: 0.06,
    highOdds: 0.03,
    high: [8, 1000],
  });
  const fitful: FaultMode = {
    id: "intermittent",
    words: "intermittent: lose contact while the shaft turns",
    odds: 0.03,
    ways: elements.map((element): Effect[] => [{ element, ohm: "open" }]),
    shows: { still: 0.25, moved: 0.9, running: 0.2 },
  };
  return { ...joint, modes: [...joint.modes, fitful] };
}

function fieldPart(): Part {
  const joint = jointPart({
    id: "field",
    label: "Field winding",
    access: "open",
    elements: ["field"],
    openOdds: 0.012,
    highOdds: 0.004,
    high: [20, 1000],
  });
  const shorted = mode("short", "shorted: most of its turns bridged", 0.006, [
    [{ element: "field", ohm: [0.02, 0.6] }],
  ]);
  return { ...joint, modes: [...joint.modes, shorted] };
}

const parts: readonly Part[] = [
  jointPart({
    id: "mains-cord",
    label: "Mains cord",
    access: "closed",
    elements: ["cord-live", "cord-neutral"],
    openOdds: 0.06,
    highOdds: 0.006,
    high: [2, 1000],
  }),
  jointPart({
    id: "switch",
    label: "Switch",
    access: "open",
    elements: ["switch", "switch-neutral"],
    openOdds: 0.05,
    highOdds: 0.02,
    high: [2, 1000],
  }),
  {
    id: "suppressor",
    label: "Suppression capacitor",
    access: "open",
    modes: [
      mode("short", "shorted: broken through", 0.006, [
        [{ element: "suppressor", ohm: [0.05, 50] }],
      ]),
    ],
  },
  fieldPart(),
  brushes(),
  {
    id: "armature",
    label: "Armature",
    access: "motor-out",
    modes: [
      mode("open", "open: burnt through", 0.015, [[{ element: "armature", ohm: "open" }]]),
      mode("short", "shorted: draws many times its current", 0.012, [
        [{ element: "armature", ohm: [0.1, 0.5], noLoad_A: [5, 20] }],
      ]),
      {
        id: "intermittent",
        words: "intermittent: open at some angles of the shaft, a burnt commutator bar",
        odds: 0.01,
        ways: [[{ element: "armature", ohm: "open" }]],
        shows: { still: 0.08, moved: 0.85, running: 0.15 },
      },
      mode("jam", "seized: its shaft does not turn", 0.008, [
        [{ element: "armature", stalled: true }],
      ]),
    ],
  },
  jointPart({
    id: "leads",
    label: "Leads inside",
    access: "open",
    elements: ["lead-field", "lead-brush-a", "lead-brush-b"],
    openOdds: 0.02,
    highOdds: 0.01,
    high: [2, 1000],
  }),
  jointPart({
    id: "protective-conductor",
    label: "Protective conductor",
    access: "closed",
    elements: ["cord-earth"],
    openOdds: 0.004,
    highOdds: 0.004,
    high: [2, 1000],
  }),
  {
    id: "insulation",
    label: "Insulation to the housing",
    access: "open",
    modes: [
      mode("short", "damaged: live parts reach the housing", 0.006, [
        [{ element: "insulation", ohm: [1, 2e6] }],
      ]),
    ],
  },
];

/** Ohms from each bar to the next, the brushes out. */
const barsLook: Sighting = {
  id: "armature-bars",
  label: "The armature, bar to bar round its commutator",
  values: ["alike", "open", "low"],
  condition: "unplugged",
  access: "motor-out",
  from: "table",
  otherwise: { alike: 0.97, open: 0.015, low: 0.015 },
  overrides: [
    { part: "armature", mode: "open", p: { alike: 0.05, open: 0.93, low: 0.02 } },
    { part: "armature", mode: "intermittent", p: { alike: 0.08, open: 0.9, low: 0.02 } },
    { part: "armature", mode: "short", p: { alike: 0.15, open: 0.02, low: 0.83 } },
  ],
  cost_s: 120,
  looks: [{ step: "armature-bars", values: { alike: "alike", open: "open", low: "low" } }],
};

/** Says whether there is a protective conductor at all. */
const earthedLook: Sighting = {
  id: "protection-class",
  label: "The rating plate: earthed (class I) or double insulated (class II)",
  values: ["class-1", "class-2"],
  condition: "unplugged",
  from: "table",
  otherwise: { "class-1": 0.997, "class-2": 0.003 },
  overrides: [],
  ofManner: { manner: "double-insulated", p: { "class-1": 0.003, "class-2": 0.997 } },
  cost_s: 10,
  looks: [{ step: "earthed", values: { "class-one": "class-1", "class-two": "class-2" } }],
};

const points: readonly Point[] = [
  point("plug-live", "Mains plug, live", null),
  point("plug-neutral", "Mains plug, neutral", null),
  point("body", "Bare metal that can be touched", null),
  point("plug-earth", "Mains plug, earth contact", null),
  point("switch-in-live", "Switch input, live", "mains-cord", "open"),
  point("switch-in-neutral", "Switch input, neutral", "mains-cord", "open"),
  point("switch-out-live", "Switch output, live", "switch", "open"),
  point("switch-out-neutral", "Switch output, neutral", "switch", "open"),
  point("field-in", "Field winding, switch end", "leads", "open"),
  point("field-out", "Field winding, brush end", "field", "open"),
  point("brush-a", "Brush a, at its lead", "leads", "open"),
  point("brush-b", "Brush b, at its lead", "leads", "open"),
  point("commutator-a", "Commutator under brush a", "brushes", "motor-out"),
  point("commutator-b", "Commutator under brush b", "brushes", "motor-out"),
];

const conditions: readonly NamedCondition[] = [
  { id: "unplugged", label: "Unplugged, trigger released", condition: condition({}) },
  {
    id: "unplugged-squeezed",
    label: "Unplugged, trigger squeezed",
    condition: condition({ trigger: "squeezed" }),
  },
  {
    id: "unplugged-shaft-turned",
    label: "Unplugged, shaft turned by hand while measuring",
    condition: condition({ shaft: "turned-by-hand" }),
  },
  {
    id: "squeezed",
    label: "Plugged in, case closed, trigger squeezed: to look at, not to measure",
    condition: condition({ mains: "plugged", trigger: "squeezed" }),
  },
];

const probes: readonly Probe[] = [
  ohms("plug-live", "plug-neutral", "unplugged"),
  ohms("plug-live", "plug-neutral", "unplugged-squeezed"),
  ohms("plug-live", "body", "unplugged-squeezed"),
  ohms("plug-earth", "body", "unplugged"),
  ohms("plug-live", "switch-in-live", "unplugged"),
  ohms("plug-neutral", "switch-in-neutral", "unplugged"),
  ohms("switch-in-live", "switch-out-live", "unplugged-squeezed"),
  ohms("switch-in-neutral", "switch-out-neutral", "unplugged-squeezed"),
  ohms("switch-out-live", "field-in", "unplugged"),
  ohms("field-in", "field-out", "unplugged"),
  ohms("field-out", "brush-a", "unplugged"),
  ohms("switch-out-neutral", "brush-b", "unplugged"),
  ohms("brush-a", "brush-b", "unplugged"),
  ohms("brush-a", "brush-b", "unplugged-shaft-turned"),
  ohms("commutator-a", "commutator-b", "unplugged"),
];
