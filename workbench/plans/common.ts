import type { PlanInput } from "../plan/schema.js";
import { CELL_FULL, PRACTICE } from "./sources.js";
import { LOADED_WATCH, task, volts } from "./steps.js";
import type { MeasureInput, StepInput } from "./steps.js";

type PointInput = PlanInput["points"][number];
type DataInput = PlanInput["tool"]["data"];

export const POWERED = ["pack", "moving-tool"] as const;
/** In the tool, case open, pack in, motor running while the trigger is held. */
export const RUNNING = { pack: "in", case: "open", trigger: "squeezed" } as const;
/** In the tool, case open, nothing powered. */
export const DEAD = { pack: "out", case: "open" } as const;
export const FED = { pack: "in", case: "open" } as const;

export const knownPoints: readonly PointInput[] = [
  { id: "known-plus", label: "known source plus", part: "known-source", source: true },
  { id: "known-minus", label: "known source minus", part: "known-source", source: true },
];
export const chargerPoints: readonly PointInput[] = [
  { id: "charger-plus", label: "charger plus", part: "charger" },
  { id: "charger-minus", label: "charger minus", part: "charger" },
];
export const packPoints: readonly PointInput[] = [
  { id: "pack-plus", label: "pack plus", part: "pack", source: true },
  { id: "pack-minus", label: "pack minus", part: "pack", source: true },
];
const terminalPoints: readonly PointInput[] = [
  { id: "terminal-plus", label: "tool terminal plus", part: "terminals" },
  { id: "terminal-minus", label: "tool terminal minus", part: "terminals" },
];

export const knownData: DataInput = {
  knownSource_V: { label: "Voltage of the known source", unit: "V", default: 9 },
};
export const cellData: DataInput = {
  cells: { label: "Lithium-ion cells in series", unit: "", default: 5 },
};
export const leadData: DataInput = {
  testLeads_ohm: { label: "Resistance of the test leads, tips together", unit: "Ω", default: 0.2 },
};

/** Proves the meter, its leads and its dial on a source that is known to be live. */
export const meterProof: StepInput = volts("meter-proof", "Prove the meter", {
  instruction: "Dial to DC volts. Red on known source plus, black on known source minus.",
  red: "known-plus",
  black: "known-minus",
  low: "knownSource_V * 0.9",
  high: "knownSource_V * 1.1",
  source: `${PRACTICE}; live-dead-live, NFPA 70E 120.5 (from memory)`,
  pass: "Meter and leads can be trusted.",
  fail: "Meter, leads or known source is at fault: put that right before anything else.",
});

const chargerOn: StepInput = task("charger-on", "Plug the charger in", {
  instruction: "Plug the charger in, no pack in it. Its case stays closed.",
  cautions: ["mains"],
  sets: { charger: "plugged" },
});

/** Before anything is charged or squeezed. */
const packOutside: StepInput = {
  kind: "look",
  id: "pack-outside",
  title: "Tool and pack, from outside",
  instruction:
    "Pack out. Look at pack and tool, smell them: swollen, cracked, wet, hot, leaking, scorched contacts?",
  cautions: ["lithium-damaged", "pack"],
  choices: [
    { id: "sound", label: "whole, dry and cool", verdict: "pass" },
    {
      id: "damaged",
      label: "damaged: set that pack aside and go on with one that is known to be good",
      verdict: "fail",
    },
  ],
  photo: true,
};

const chargerOutput: StepInput = volts("charger-output", "Charger output", {
  instruction: "No pack in the charger. Red on charger plus, black on charger minus.",
  cautions: ["mains"],
  red: "charger-plus",
  black: "charger-minus",
  condition: { charger: "plugged" },
  low: "cells * 4",
  high: "cells * 4.4",
  source: `about 4.2 V a cell: ${PRACTICE}`,
  pass: "The charger gives its voltage.",
  fail: "The charger gives the wrong voltage: it does not charge, or it ruins packs.",
  // Many give none until they have recognised a pack: then its lamp with the pack on it decides.
  more: { zero: "note" },
});

const chargerLamp: StepInput = {
  kind: "look",
  id: "charger-lamp",
  title: "Charger, with the pack on it",
  instruction:
    "Put the pack on the charger and wait five seconds. What does its lamp say? Then take the pack off again.",
  cautions: ["mains", "lithium-damaged"],
  needs: [{ step: "pack-outside", verdict: "pass" }],
  choices: [
    { id: "charging", label: "charging, or full", verdict: "pass" },
    { id: "fault", label: "a fault, or too hot or too cold", verdict: "fail" },
    { id: "dark", label: "nothing at all, or the same as without a pack", verdict: "fail" },
  ],
};

export const chargerOff: StepInput = task("charger-off", "Unplug the charger", {
  instruction: "Unplug the charger from the wall.",
  sets: { charger: "unplugged" },
});

/** The pack on its own. */
export const packOpen: MeasureInput = volts("pack-open", "Pack, open circuit", {
  instruction: "Pack out of the tool. Red on pack plus, black on pack minus.",
  cautions: ["pack", "lithium-damaged"],
  red: "pack-plus",
  black: "pack-minus",
  low: "cells * 3.5",
  high: "cells * 4.25",
  source: `3.5 V a cell: ${PRACTICE}; ${CELL_FULL}`,
  pass: "The pack is charged.",
  fail: "The pack is empty, has lost a cell, or its protection has switched off.",
});

const openCase: StepInput = task("open-case", "Open the case", {
  instruction:
    "Clamp the tool, chuck empty. Undo the case screws and lift the upper half off; leave every part in its seat.",
  sets: { case: "open" },
  removes: {
    what: "upper half of the case",
    from: "case",
    fasteners: 8,
    fastenerKind: "hexalobular screw, size 10",
  },
});

export const closeCase: StepInput = task("close-case", "Close the case", {
  instruction:
    "Put the upper half of the case back and do its screws up; none may be left over. Then touch the probe tips together.",
  sets: { case: "closed" },
  putsBack: ["open-case"],
});

const packIn: StepInput = task("pack-in", "Put the pack in", {
  instruction: "Put the pack in. Keep clear of the chuck and the gear train.",
  cautions: [...POWERED],
  sets: { pack: "in" },
});

/** Pack into the opened tool, then pack and terminals at rest and under load. */
const packInTool: readonly StepInput[] = [
  packIn,
  volts("pack-rest", "Pack in the tool, at rest", {
    instruction: "Trigger released. Red on pack plus, black on pack minus.",
    cautions: [...POWERED],
    red: "pack-plus",
    black: "pack-minus",
    condition: FED,
    low: "cells * 2.5",
    high: "cells * 4.25",
    source: `2.5 V a cell, usual cut-off of the protection: ${PRACTICE}; ${CELL_FULL}`,
    pass: "The pack feeds the tool.",
    fail: "The pack feeds nothing: what follows under power is skipped.",
  }),
  volts("pack-sag", "Pack under load", {
    instruction: "Stay on pack plus and pack minus. Squeeze the trigger, hold it, let go.",
    cautions: [...POWERED],
    needs: [{ step: "pack-rest", verdict: "pass" }],
    red: "pack-plus",
    black: "pack-minus",
    condition: { ...FED, trigger: "worked" },
    watch: LOADED_WATCH,
    low: 'result("pack-rest") * 0.85',
    pass: "The pack carries the load.",
    fail: "The pack collapses under load: a weak cell, or a motor that stalls.",
    more: { judged: "plateau" },
  }),
  volts("terminals-rest", "Tool terminals, at rest", {
    instruction: "Trigger released. Red on tool terminal plus, black on tool terminal minus.",
    cautions: [...POWERED],
    needs: [{ step: "pack-rest", verdict: "pass" }],
    red: "terminal-plus",
    black: "terminal-minus",
    condition: FED,
    low: 'result("pack-rest") * 0.95',
    pass: "The terminals touch the pack.",
    fail: "The pack does not reach the terminals: bent, burnt or dirty contacts.",
  }),
  volts("terminals-load", "Tool terminals, under load", {
    instruction:
      "Stay on tool terminal plus and tool terminal minus. Squeeze the trigger, hold it, let go.",
    cautions: [...POWERED],
    // Without a sag at the pack there is no load to judge under: the tool draws nothing.
    needs: [
      { step: "terminals-rest", verdict: "pass" },
      { step: "pack-sag", verdict: "judged" },
    ],
    red: "terminal-plus",
    black: "terminal-minus",
    condition: { ...FED, trigger: "worked" },
    watch: LOADED_WATCH,
    more: { judged: "plateau" },
    // A pack that has switched off under load must not make zero volts the expected value.
    low: 'max(cells * 2, first(result("pack-sag") - 0.6, result("terminals-rest") * 0.85))',
    pass: "The terminals carry the load.",
    fail: "Voltage is lost between pack and terminals: poor contacts; or the pack has switched off.",
  }),
];

export const packOut: StepInput = task("pack-out", "Take the pack out", {
  instruction: "Let go of the trigger and take the pack out. Turn the dial to ohms.",
  cautions: ["power-off-for-ohms"],
  sets: { pack: "out" },
});

/** Everything from the wall to the tool's terminals; the same for every cordless tool. */
export const cordlessSupply: readonly StepInput[] = [
  packOutside,
  meterProof,
  chargerOn,
  chargerOutput,
  chargerLamp,
  chargerOff,
  packOpen,
  openCase,
  ...packInTool,
];
export const cordlessPoints: readonly PointInput[] = [
  ...knownPoints,
  ...chargerPoints,
  ...packPoints,
  ...terminalPoints,
];

/** While a pack that may be charged is on the charger, after `charge-pack`: the lamp, then time. */
export function underCharge(title: string): StepInput[] {
  return [
    {
      kind: "look",
      id: "charger-lamp",
      title,
      instruction: "After five seconds: what does the charger's lamp say?",
      cautions: ["mains", "lithium-damaged"],
      needs: [{ step: "charge-pack", verdict: "any" }],
      choices: [
        { id: "charging", label: "charging, or full", verdict: "pass" },
        { id: "fault", label: "a fault, or too hot or too cold", verdict: "fail" },
        { id: "dark", label: "nothing at all, or the same as without a pack", verdict: "fail" },
      ],
    },
    {
      kind: "wait",
      id: "charging",
      title: "Charging",
      instruction: "Ten minutes. Stay by it; unplug at once if the pack grows hot or swells.",
      cautions: ["mains", "lithium-damaged"],
      needs: [{ step: "charge-pack", verdict: "any" }],
      duration_s: 600,
    },
  ];
}
