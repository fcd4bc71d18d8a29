import { condition } from "./conditions.js";
import { about, together } from "./model.js";
import type {
  Effect,
  Element,
  NamedCondition,
  Part,
  Point,
  Probe,
  ToolModel,
  Where,
} from "./model.js";
import { point, wire } from "./pack-side.js";
import { jointPart, mode, ohms, volts } from "./parts-of.js";
import { packData } from "./tool-data.js";
import type { ToolData } from "./tool-data.js";

/** A pack alone: cell groups in series with their taps, protection, thermistor, contacts. */
export function pack(data: ToolData): ToolModel {
  const { nominal_V, cells } = packData(data);
  const groups = Array.from({ length: cells }, (_, i) => i + 1);
  return {
    kind: "pack",
    title: "Battery pack",
    nominal_V,
    parts: [chargePart(groups), ...groups.map(groupPart), ...otherParts],
    points: [...outerPoints, ...groups.map(tapPoint)],
    elements: [...groups.flatMap(groupElement), ...otherElements(cells)],
    manners: [],
    conditions,
    sightings: [],
    probes: probesOf(groups),
  };
}

/** Tap 0 is the bottom of the stack, the last tap its top. */
const tap = (n: number): string => `tap-${n}`;

function groupElement(n: number): Element[] {
  return [
    {
      kind: "source",
      id: `group-${n}`,
      a: tap(n),
      b: tap(n - 1),
      volt: together(3.4, 4.2),
      ohm: about(0.022, 1.6),
    },
  ];
}

/** Nothing is broken in a flat pack; but until it is charged nobody can tell. */
function chargePart(groups: readonly number[]): Part {
  const flat = groups.map((n): Effect => ({
    element: `group-${n}`,
    volt: [2.4, 3.3],
    alike: true,
  }));
  const cutOff = LOADED.map((when): Effect => ({ element: "protection", ohm: "open", when }));
  const words = "flat: all groups discharged alike; charge it and test it again";
  return {
    id: "charge",
    label: "State of charge",
    access: "closed",
    modes: [{ ...mode("flat", words, 0.08, [flat, [...flat, ...cutOff]]), mend: "charge" }],
  };
}

function groupPart(n: number): Part {
  const element = `group-${n}`;
  return {
    id: `cell-group-${n}`,
    label: `Cell group ${n}`,
    access: "open",
    modes: [
      mode("dead", "dead: far below the others", 0.02, [[{ element, volt: [0, 2.5] }]]),
      mode("weak", "weak: collapses under load", 0.02, [[{ element, ohm: [0.25, 20] }]]),
      mode("open", "open inside", 0.004, [[{ element, ohm: "open" }]]),
    ],
  };
}

const LOADED: readonly Where[] = [
  { pack: ["on-load"] },
  { pack: ["in", "out"], trigger: ["squeezed", "worked"] },
];

const otherElements = (cells: number): Element[] => [
  wire("protection", tap(cells), "pack-plus"),
  wire("strap-minus", tap(0), "pack-minus"),
  {
    kind: "resistor",
    id: "thermistor",
    a: "thermistor",
    b: "pack-minus",
    ohm: about(1e4, 1.6),
  },
  {
    kind: "resistor",
    id: "bench-load",
    a: "pack-plus",
    b: "pack-minus",
    ohm: about(7, 1.5),
    when: { pack: ["on-load"] },
  },
  {
    // A plan's sag step begins without the load and says "squeezed" when it goes on.
    kind: "resistor",
    id: "sag-load",
    a: "pack-plus",
    b: "pack-minus",
    ohm: about(7, 1.5),
    when: { pack: ["in", "out"], trigger: ["squeezed", "worked"] },
  },
];

const otherParts: readonly Part[] = [
  {
    id: "protection",
    label: "Protection board",
    access: "open",
    modes: [
      mode("tripped-protection", "shut off for good", 0.02, [
        [{ element: "protection", ohm: "open" }],
        [{ element: "protection", ohm: [2e6, 3e7] }],
      ]),
      mode("asleep", "asleep until a charger wakes it", 0.03, [
        [{ element: "protection", ohm: "open" }],
        [{ element: "protection", ohm: [2e6, 3e7] }],
      ]),
    ],
  },
  jointPart({
    id: "straps",
    label: "Straps and contacts",
    access: "open",
    elements: ["strap-minus"],
    openOdds: 0.01,
    highOdds: 0.015,
  }),
  {
    id: "thermistor",
    label: "Thermistor",
    access: "open",
    modes: [
      mode("open", "open", 0.01, [[{ element: "thermistor", ohm: "open" }]]),
      mode("short", "shorted", 0.005, [[{ element: "thermistor", ohm: [0.1, 300] }]]),
    ],
  },
];

const outerPoints: readonly Point[] = [
  point("pack-plus", "Pack plus", "protection"),
  point("pack-minus", "Pack minus", "straps"),
  point("thermistor", "Thermistor contact", "thermistor"),
  point(tap(0), "Bottom of the cell stack", null, "open"),
];

function tapPoint(n: number): Point {
  return point(`tap-${n}`, `Tap above cell group ${n}`, `cell-group-${n}`, "open");
}

const conditions: readonly NamedCondition[] = [
  { id: "pack-at-rest", label: "Pack alone, no load", condition: condition({}) },
  {
    id: "pack-on-load",
    label: "Pack on a load of a few amperes (a car lamp)",
    condition: condition({ pack: "on-load" }),
  },
];

function probesOf(groups: readonly number[]): Probe[] {
  const cells = groups.length;
  return [
    volts("pack-plus", "pack-minus", "pack-at-rest"),
    volts("pack-plus", "pack-minus", "pack-on-load"),
    ohms("thermistor", "pack-minus", "pack-at-rest"),
    volts(tap(cells), tap(0), "pack-at-rest"),
    volts(tap(cells), tap(0), "pack-on-load"),
    // Across what lies between stack and contacts, one end at a time.
    volts(tap(cells), "pack-minus", "pack-at-rest"),
    volts("pack-plus", tap(0), "pack-at-rest"),
    ...groups.flatMap((n) => [
      volts(tap(n), tap(n - 1), "pack-at-rest"),
      volts(tap(n), tap(n - 1), "pack-on-load"),
    ]),
  ];
}
