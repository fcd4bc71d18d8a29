import { condition } from "./conditions.js";
import { about, between } from "./model.js";
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
} from "./model.js";
import { chargerManners, deadCharger, point, wire } from "./pack-side.js";
import { jointPart, mode, ohms, volts } from "./parts-of.js";
import { packData } from "./tool-data.js";
import type { ToolData } from "./tool-data.js";

/**
 * A charger alone. Its mains side is measured unplugged only: what is live behind the plug is left
 * to those who are trained for it.
 */
export function charger(data: ToolData): ToolModel {
  const { nominal_V, cells } = packData(data);
  return {
    kind: "charger",
    title: "Charger",
    nominal_V,
    parts,
    points,
    elements: elements(cells),
    manners: chargerManners(data),
    conditions,
    sightings,
    probes,
  };
}

const PLUGGED = { charger: ["plugged"] } as const;

function elements(cells: number): Element[] {
  return [
    wire("cord-live", "plug-live", "board-live"),
    wire("cord-neutral", "plug-neutral", "board-neutral"),
    { kind: "resistor", id: "fuse", a: "board-live", b: "fuse-out", ohm: about(0.3, 3) },
    { kind: "resistor", id: "primary", a: "fuse-out", b: "board-neutral", ohm: about(1e6, 4) },
    {
      kind: "source",
      id: "charger",
      a: "board-plus",
      b: "board-minus",
      volt: between(cells * 4.0, cells * 4.5),
      ohm: about(1, 2),
      when: PLUGGED,
    },
    wire("output-plus", "board-plus", "charger-plus"),
    wire("output-minus", "board-minus", "charger-minus"),
    {
      kind: "source",
      id: "pack",
      a: "charger-plus",
      b: "charger-minus",
      volt: between(cells * 3.4, cells * 4.2),
      ohm: about(0.15, 1.7),
      when: { pack: ["on-charger"] },
    },
  ];
}

/** Without mains the converter gives nothing. */
const NO_MAINS: Effect = { element: "charger", ohm: "open" };

const parts: readonly Part[] = [
  jointPart({
    id: "mains-cord",
    label: "Mains cord",
    access: "closed",
    elements: ["cord-live", "cord-neutral"],
    openOdds: 0.05,
    highOdds: 0.004,
    then: [NO_MAINS],
  }),
  {
    id: "fuse",
    label: "Mains fuse",
    access: "open",
    modes: [mode("open", "blown", 0.05, [[{ element: "fuse", ohm: "open" }, NO_MAINS]])],
  },
  {
    id: "converter",
    label: "Converter board",
    access: "open",
    modes: [
      mode("dead", "dead: gives no voltage", 0.08, deadCharger),
      mode("short", "shorted at its mains input", 0.01, [
        [{ element: "primary", ohm: [0.05, 8] }, NO_MAINS],
      ]),
      mode("weak", "weak: gives too little voltage", 0.02, [
        [{ element: "charger", volt: [1, 16] }],
      ]),
      mode("high-resistance", "limp: gives its voltage and hardly any current", 0.02, [
        [{ element: "charger", ohm: [50, 5000] }],
      ]),
      mode("overvoltage", "out of control: gives more than its pack bears", 0.01, [
        [{ element: "charger", volt: [23, 40] }],
      ]),
      mode("rippling", "rippling: its smoothing capacitor has dried out", 0.015, [[]]),
    ],
  },
  jointPart({
    id: "output-lead",
    label: "Output lead and contacts",
    access: "closed",
    elements: ["output-plus", "output-minus"],
    openOdds: 0.04,
    highOdds: 0.02,
  }),
];

const points: readonly Point[] = [
  point("plug-live", "Mains plug, live", null),
  point("plug-neutral", "Mains plug, neutral", null),
  point("board-live", "Board, live in", "mains-cord", "open"),
  point("board-neutral", "Board, neutral in", "mains-cord", "open"),
  point("fuse-out", "Behind the mains fuse", "fuse", "open"),
  point("board-plus", "Board, output plus", "converter", "open"),
  point("board-minus", "Board, output minus", "converter", "open"),
  point("charger-plus", "Charger plus", "output-lead"),
  point("charger-minus", "Charger minus", "output-lead"),
];

const conditions: readonly NamedCondition[] = [
  { id: "unplugged", label: "Charger unplugged", condition: condition({}) },
  {
    id: "charger-empty",
    label: "Charger plugged in, no pack on it",
    condition: condition({ charger: "plugged" }),
  },
  {
    id: "charger-with-pack",
    label: "Charger plugged in, a pack on it",
    condition: condition({ charger: "plugged", pack: "on-charger" }),
  },
];

type Fault = readonly [part: string, mode: Override["mode"]];

const SILENT: readonly Fault[] = [
  ["mains-cord", "open"],
  ["fuse", "open"],
  ["converter", "short"],
];

function each(faults: readonly Fault[], p: Override["p"]): Override[] {
  return faults.map(([part, mode]) => ({ part, mode, p }));
}

/** Whether a known good pack, ten minutes on the charger, has come up. */
const chargesPack: Sighting = {
  id: "known-pack-rises",
  label: "A known good pack, not full, rises within ten minutes on the charger",
  values: ["yes", "no"],
  condition: "charger-with-pack",
  from: "table",
  otherwise: { yes: 0.98, no: 0.02 },
  overrides: each(
    [
      ...SILENT,
      ["converter", "dead"],
      ["converter", "weak"],
      ["converter", "high-resistance"],
      ["output-lead", "open"],
      ["output-lead", "high-resistance"],
    ],
    { yes: 0.03, no: 0.97 },
  ),
  cost_s: 660,
  looks: [],
  readings: [{ step: "pack-after", values: { within: "yes", below: "no", nothing: "no" } }],
};

const ripple: Sighting = {
  id: "output-ripple",
  label: "AC at the charger's output, no pack on it: below a tenth of its voltage",
  values: ["smooth", "rippling"],
  condition: "charger-empty",
  from: "table",
  otherwise: { smooth: 0.985, rippling: 0.015 },
  overrides: [{ part: "converter", mode: "rippling", p: { smooth: 0.05, rippling: 0.95 } }],
  // Of nothing there is no ripple.
  fed: {
    red: "charger-plus",
    black: "charger-minus",
    least_V: 5,
    otherwise: { smooth: 0.99, rippling: 0.01 },
  },
  cost_s: 15,
  looks: [],
  readings: [
    { step: "charger-ripple", values: { within: "smooth", nothing: "smooth", above: "rippling" } },
  ],
};

const sightings: readonly Sighting[] = [
  chargerLamp("charger-with-pack", [
    ...each(SILENT, lamp(0.01, 0.02)),
    { part: "converter", mode: "dead", p: lamp(0.15, 0.2) },
    { part: "converter", mode: "weak", p: lamp(0.4, 0.4) },
    { part: "converter", mode: "high-resistance", p: lamp(0.5, 0.42) },
    { part: "converter", mode: "overvoltage", p: lamp(0.6, 0.35) },
    { part: "converter", mode: "rippling", p: lamp(0.8, 0.17) },
    // A charger behind a broken lead sees no pack.
    { part: "output-lead", mode: "open", p: lamp(0.03, 0.37) },
  ]),
  chargesPack,
  ripple,
];

/** No voltage inside the case: there the mains is within reach of the probe. */
const probes: readonly Probe[] = [
  volts("charger-plus", "charger-minus", "charger-empty"),
  volts("charger-plus", "charger-minus", "charger-with-pack"),
  ohms("plug-live", "plug-neutral", "unplugged"),
  ohms("plug-live", "board-live", "unplugged"),
  ohms("plug-neutral", "board-neutral", "unplugged"),
  ohms("board-live", "fuse-out", "unplugged"),
  ohms("board-plus", "charger-plus", "unplugged"),
  ohms("board-minus", "charger-minus", "unplugged"),
];
