import { condition } from "./conditions.js";
import { drivePart, driveSightings } from "./drive.js";
import { about, between } from "./model.js";
import type { Element, NamedCondition, Part, Point, Probe, ToolModel } from "./model.js";
import { point, wire } from "./pack-side.js";
import { jointPart, mode, ohms } from "./parts-of.js";
import type { ToolData } from "./tool-data.js";

/**
 * A corded tool with a universal motor: cord, switch, two field coils, brushes and armature in one
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
    manners: [],
    conditions,
    sightings: driveSightings("armature").filter(({ id }) => !id.includes("known-pack")),
    probes,
  };
}

const PRESSED = { trigger: ["squeezed", "worked"] } as const;

function elements(nominal_V: number): Element[] {
  const coil = (id: string, a: string, b: string): Element => ({
    kind: "resistor",
    id,
    a,
    b,
    ohm: about(1.5, 1.8),
  });
  return [
    {
      kind: "source",
      id: "mains",
      a: "plug-line",
      b: "plug-neutral",
      volt: between(nominal_V * 0.95, nominal_V * 1.05),
      ohm: about(0.5, 2),
      when: { mains: ["plugged"] },
    },
    wire("cord-line", "plug-line", "switch-in"),
    wire("cord-neutral", "plug-neutral", "switch-neutral"),
    {
      kind: "resistor",
      id: "switch",
      a: "switch-in",
      b: "switch-out",
      ohm: about(0.03, 2),
      when: PRESSED,
    },
    coil("field-a", "switch-out", "brush-a"),
    coil("field-b", "switch-neutral", "brush-b"),
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
    { kind: "resistor", id: "insulation", a: "switch-out", b: "housing", ohm: about(2e9, 3) },
  ];
}

const parts: readonly Part[] = [
  jointPart({
    id: "mains-cord",
    label: "Mains cord",
    access: "closed",
    elements: ["cord-line", "cord-neutral"],
    openOdds: 0.06,
    highOdds: 0.006,
    high: [2, 1000],
  }),
  jointPart({
    id: "switch",
    label: "Switch",
    access: "open",
    elements: ["switch"],
    openOdds: 0.05,
    highOdds: 0.02,
    high: [2, 1000],
  }),
  jointPart({
    id: "field",
    label: "Field coils",
    access: "open",
    elements: ["field-a", "field-b"],
    openOdds: 0.012,
    highOdds: 0.004,
    high: [20, 1000],
  }),
  jointPart({
    id: "brushes",
    label: "Brushes",
    access: "open",
    elements: ["brush-a", "brush-b"],
    openOdds: 0.06,
    highOdds: 0.03,
    high: [8, 1000],
  }),
  {
    id: "armature",
    label: "Armature",
    access: "motor-out",
    modes: [
      mode("open", "open: burnt through", 0.015, [[{ element: "armature", ohm: "open" }]]),
      mode("short", "shorted: draws many times its current", 0.012, [
        [{ element: "armature", ohm: [0.1, 0.5], noLoad_A: [5, 20] }],
      ]),
      mode("jam", "seized: its shaft does not turn", 0.008, [
        [{ element: "armature", stalled: true }],
      ]),
    ],
  },
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

const points: readonly Point[] = [
  point("plug-line", "Mains plug, line", null),
  point("plug-neutral", "Mains plug, neutral", null),
  point("housing", "Bare metal of the housing", null),
  point("switch-in", "Switch input", "mains-cord", "open"),
  point("switch-neutral", "Switch, neutral side", "mains-cord", "open"),
  point("switch-out", "Switch output", "switch", "open"),
  point("brush-a", "Brush a, at its lead", "field", "open"),
  point("brush-b", "Brush b, at its lead", "field", "open"),
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
  { id: "pack-out", label: "Unplugged (the same as unplugged)", condition: condition({}) },
];

const probes: readonly Probe[] = [
  ohms("plug-line", "plug-neutral", "unplugged-squeezed"),
  ohms("plug-line", "housing", "unplugged-squeezed"),
  ohms("plug-line", "switch-in", "unplugged"),
  ohms("plug-neutral", "switch-neutral", "unplugged"),
  ohms("switch-in", "switch-out", "unplugged-squeezed"),
  ohms("switch-out", "brush-a", "unplugged"),
  ohms("switch-neutral", "brush-b", "unplugged"),
  ohms("brush-a", "brush-b", "unplugged"),
  ohms("brush-a", "brush-b", "unplugged-shaft-turned"),
  ohms("commutator-a", "commutator-b", "unplugged"),
];
