import { condition } from "./conditions.js";
import { about, together } from "./model.js";
import { chargerLamp, lamp } from "./charger-lamp.js";
import type {
  Effect,
  Element,
  NamedCondition,
  Override,
  Part,
  Point,
  Probe,
  Sighting,
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
    sightings: sightingsOf(groups),
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

/** What leaks through a protection that is off: from a ghost of most of the voltage to a trace of it. */
const GHOST = [2e6, 1e9] as const;
const UNLOADED: Where = { trigger: ["released"], pack: ["in", "out"] };

/** Nothing is broken in a flat pack, nor in one asleep; but until it was charged nobody can tell. */
function chargePart(groups: readonly number[]): Part {
  const flat = groups.map((n): Effect => ({
    element: `group-${n}`,
    volt: [2.4, 3.3],
    alike: true,
  }));
  const cutOff = LOADED.map((when): Effect => ({ element: "protection", ohm: "open", when }));
  const words = "flat: all groups discharged alike; charge it and test it again";
  // On a load it is awake: nobody loads a pack that gives nothing.
  const asleep = (["open", GHOST] as const).map((ohm): Effect[] => [
    { element: "protection", ohm, when: UNLOADED },
  ]);
  return {
    id: "charge",
    label: "State of charge",
    access: "closed",
    modes: [
      { ...mode("flat", words, 0.08, [flat, [...flat, ...cutOff]]), mend: "charge" },
      { ...mode("asleep", "asleep until a charger wakes it", 0.05, asleep), mend: "charge" },
    ],
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
        [{ element: "protection", ohm: GHOST }],
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

/** What only time or a charger shows. */
function sightingsOf(groups: readonly number[]): Sighting[] {
  const ofGroups = (mode: Override["mode"], p: Override["p"]): Override[] =>
    groups.map((n) => ({ part: `cell-group-${n}`, mode, p }));
  return [
    chargerLamp("pack-on-charger", [
      { part: "protection", mode: "tripped-protection", p: lamp(0.1, 0.5) },
      { part: "charge", mode: "asleep", p: lamp(0.6, 0.3) },
      { part: "straps", mode: "open", p: lamp(0.05, 0.45) },
      // Without a believable temperature hardly any charger begins.
      { part: "thermistor", mode: "open", p: lamp(0.1, 0.8) },
      { part: "thermistor", mode: "short", p: lamp(0.05, 0.85) },
      ...ofGroups("open", lamp(0.05, 0.5)),
      ...ofGroups("dead", lamp(0.45, 0.5)),
    ]),
    {
      id: "pack-wakes",
      label: "The pack gives its voltage after ten minutes on a charger that is known to be good",
      values: ["yes", "no"],
      condition: "pack-on-charger",
      from: "table",
      otherwise: { yes: 0.97, no: 0.03 },
      overrides: [
        { part: "protection", mode: "tripped-protection", p: { yes: 0.04, no: 0.96 } },
        { part: "charge", mode: "asleep", p: { yes: 0.9, no: 0.1 } },
        { part: "straps", mode: "open", p: { yes: 0.02, no: 0.98 } },
        ...ofGroups("open", { yes: 0.02, no: 0.98 }),
        ...ofGroups("dead", { yes: 0.3, no: 0.7 }),
      ],
      cost_s: 660,
      looks: [],
      readings: [{ step: "pack-ready", values: { within: "yes", below: "no", nothing: "no" } }],
    },
    carries("pack-carries-load", "The pack carries a known load of a few amperes", "pack-load", [
      ...ofGroups("weak", { yes: 0.06, no: 0.94 }),
      ...ofGroups("dead", { yes: 0.3, no: 0.7 }),
      { part: "straps", mode: "high-resistance", p: { yes: 0.15, no: 0.85 } },
      { part: "protection", mode: "tripped-protection", p: { yes: 0.1, no: 0.9 } },
      // A few minutes on the charger before it may do.
      { part: "charge", mode: "flat", p: { yes: 0.6, no: 0.4 } },
    ]),
    ...groups.map((n) =>
      carries(
        `cell-${n}-carries-load`,
        `Cell group ${n} keeps its voltage on that load`,
        `cell-${n}-load`,
        [
          { part: `cell-group-${n}`, mode: "weak", p: { yes: 0.04, no: 0.96 } },
          { part: `cell-group-${n}`, mode: "dead", p: { yes: 0.3, no: 0.7 } },
        ],
      ),
    ),
    recovers(ofGroups("dead", { yes: 0.5, no: 0.5 })),
  ];
}

function recovers(dead: readonly Override[]): Sighting {
  return {
    id: "pack-recovers",
    label: "The pack comes back within a minute of the load",
    values: ["yes", "no"],
    condition: "pack-at-rest",
    from: "table",
    otherwise: { yes: 0.97, no: 0.03 },
    overrides: [
      ...dead,
      { part: "protection", mode: "tripped-protection", p: { yes: 0.4, no: 0.6 } },
    ],
    cost_s: 75,
    looks: [],
    readings: [{ step: "pack-recovered", values: { within: "yes", below: "no", nothing: "no" } }],
  };
}

/** How a sag on the load was judged: what the pack was before it, charged or woken, is in its limit. */
function carries(
  id: string,
  label: string,
  step: string,
  overrides: readonly Override[],
): Sighting {
  return {
    id,
    label,
    values: ["yes", "no"],
    condition: "pack-on-load",
    from: "table",
    otherwise: { yes: 0.985, no: 0.015 },
    overrides,
    cost_s: 30,
    looks: [],
    readings: [{ step, values: { within: "yes", below: "no", nothing: "no" } }],
  };
}

const conditions: readonly NamedCondition[] = [
  { id: "pack-at-rest", label: "Pack alone, no load", condition: condition({}) },
  {
    id: "pack-on-load",
    label: "Pack on a load of a few amperes (a car lamp)",
    condition: condition({ pack: "on-load" }),
  },
  {
    id: "pack-on-charger",
    label: "Pack on a charger that is known to be good",
    condition: condition({ pack: "on-charger", charger: "plugged" }),
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
