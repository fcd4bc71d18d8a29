import type { PlanInput } from "../plan/schema.js";
import {
  cellData,
  knownData,
  knownPoints,
  meterProof,
  packOpen,
  packPoints,
  underCharge,
} from "./common.js";
import { CELL_FULL, PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

/** Taps of a pack of five, from minus to plus; packs with another number need a plan of their own. */
const CELLS = 5;
const tap = (n: number) => `tap-${n}`;
const tapLabel = (n: number) =>
  n === 0 ? "the bottom tap" : n === CELLS ? "the top tap" : `balance tap ${n}`;
const sound = [{ step: "pack-outside", verdict: "pass" }] as const;

/** Cut-off of the usual data sheets; below it a cell is neither charged nor trusted. */
const CUT_OFF = `2.5 V, usual cut-off of a data sheet: ${PRACTICE}`;
const PRESS =
  "Press through the oxide; one probe at a time, fingers behind the guard, no tap bridged to the next";

/** Behind the protection: what is really there when the contacts show nothing. */
const stack: StepInput = volts("stack", "Cell stack, behind the protection", {
  instruction: `Red on the top tap, black on the bottom tap. ${PRESS}.`,
  cautions: ["pack", "lithium-damaged"],
  needs: [...sound],
  red: tap(CELLS),
  black: tap(0),
  low: "cells * 2.5",
  high: "cells * 4.25",
  source: `${CUT_OFF}; ${CELL_FULL}`,
  pass: "The cells are there. Nothing at the contacts then is the protection, perhaps only asleep.",
  fail: "Deeply discharged, overcharged or interrupted: this pack is not charged. Replace it.",
});

/** Each cell against the mean of the stack: a cell that strays is the one that is going. */
const cellSteps: readonly StepInput[] = Array.from({ length: CELLS }, (_, n) =>
  volts(`cell-${n + 1}`, `Cell ${n + 1}`, {
    instruction: `Red on ${tapLabel(n + 1)}, black on ${tapLabel(n)}. ${PRESS}. Where it reads low, wipe the tap and measure once more.`,
    cautions: ["pack", "lithium-damaged"],
    needs: [...sound],
    red: tap(n + 1),
    black: tap(n),
    low: 'max(2.5, result("stack") / cells - 0.2)',
    high: 4.25,
    source: `${CUT_OFF}; 0.2 V below the mean: ${PRACTICE}; ${CELL_FULL}`,
    pass: "The cell is like the others.",
    fail: "The cell strays from the others: the pack is to be replaced, never balanced by hand.",
  }),
);

/** Only where the contacts showed too little and every cell may be charged. */
const charge: readonly StepInput[] = [
  task("charge-pack", "Charge it, or wake it", {
    instruction:
      "Put the pack on a charger that is known to be good and plug the charger in. Stay by it. Unplug at once if the pack grows hot or swells.",
    cautions: ["mains", "lithium-damaged"],
    needs: [
      ...sound,
      { step: "pack-open", verdict: "fail" },
      { step: "stack", verdict: "pass" },
      ...Array.from(
        { length: CELLS },
        (_, n) => ({ step: `cell-${n + 1}`, verdict: "pass" }) as const,
      ),
    ],
    sets: { charger: "plugged" },
  }),
  ...underCharge("Charger, with the pack on it"),
  task("charge-end", "Unplug, take the pack off", {
    instruction: "Unplug the charger from the wall, take the pack off.",
    cautions: ["mains"],
    sets: { charger: "unplugged" },
  }),
];

/** Which cell it is that gives way, where the pack as a whole has. */
const loadedCells: readonly StepInput[] = Array.from({ length: CELLS }, (_, n) =>
  volts(`cell-${n + 1}-load`, `Cell ${n + 1} on the known load`, {
    instruction: `Red on ${tapLabel(n + 1)}, black on ${tapLabel(n)}. Switch the load on for two seconds, then off; off at once if anything grows hot or smells.`,
    cautions: ["pack", "lithium-damaged"],
    needs: [{ step: "pack-load", verdict: "fail" }],
    red: tap(n + 1),
    black: tap(n),
    condition: { trigger: "worked" },
    watch: { kind: "sag", edge: 0.01, hold_s: 2 },
    low: `result("cell-${n + 1}") * load_ohm / (load_ohm + cells * cellResistance_ohm)`,
    source: `its share of the divider of load and pack; 60 mΩ a cell with its joints: ${PRACTICE}`,
    pass: "This cell carries the load.",
    fail: "This cell gives way under load: the pack is to be replaced.",
    more: { judged: "plateau" },
  }),
);

/** A pack alone: outside, voltage, cells, thermistor, sag on a known load, recovery. */
export const pack: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "pack",
  title: "Pack, five lithium-ion cells",
  revision: "2026-11-25",
  tool: {
    kind: "pack",
    data: {
      ...cellData,
      ...knownData,
      load_ohm: { label: "Known load, a power resistor", unit: "Ω", default: 4.7 },
      thermistor_ohm: { label: "Thermistor at 25 °C", unit: "Ω", default: 10000 },
      cellResistance_ohm: { label: "Greatest resistance of a cell", unit: "Ω", default: 0.06 },
    },
  },
  points: [
    ...knownPoints,
    ...packPoints,
    ...Array.from({ length: CELLS + 1 }, (_, n) => ({
      id: tap(n),
      label: tapLabel(n).replace("the ", ""),
      part: "pack",
      source: true,
    })),
    { id: "thermistor", label: "thermistor contact", part: "thermistor" },
  ],
  steps: [
    {
      kind: "look",
      id: "pack-outside",
      title: "Pack, from outside",
      instruction: "Look, smell, feel: swollen, punctured, wet, hot, leaking, scorched contacts?",
      cautions: ["lithium-damaged", "pack"],
      choices: [
        { id: "sound", label: "whole, dry and cool", verdict: "pass" },
        { id: "damaged", label: "damaged: nothing further is done with it", verdict: "fail" },
      ],
      photo: true,
    },
    meterProof,
    {
      ...packOpen,
      needs: [...sound],
      means: {
        pass: "The pack is charged.",
        fail: "Empty, a cell gone, or shut off by its protection, perhaps only asleep: cells and a charger tell.",
      },
    },
    stack,
    ...cellSteps,
    ohms("thermistor", "Thermistor", {
      instruction:
        "Pack at room temperature, an hour off tool and charger. Dial to ohms. Red on the thermistor contact, black on pack minus. Touch no other contact.",
      cautions: ["pack"],
      needs: [...sound],
      red: "thermistor",
      black: "pack-minus",
      low: "thermistor_ohm * 0.6",
      high: "thermistor_ohm * 2.25",
      source:
        "35 °C to 10 °C by the beta equation with any beta up to 4250 K and 5 % of tolerance; 10 kΩ at 25 °C is usual, other values exist: a good pack of the same type tells",
      pass: "The thermistor tells a temperature.",
      fail: "The thermistor is open, shorted or of another value: chargers refuse such a pack.",
    }),
    ...charge,
    volts("pack-ready", "Pack, before the load", {
      instruction:
        "Pack off the charger, no load on it. Dial to DC volts. Red on pack plus, black on pack minus.",
      cautions: ["pack", "lithium-damaged"],
      needs: [...sound, { step: "charge-end", verdict: "any" }],
      red: "pack-plus",
      black: "pack-minus",
      low: "cells * 3.5",
      high: "cells * 4.25",
      source: `3.5 V a cell: ${PRACTICE}; ${CELL_FULL}`,
      pass: "The pack gives its voltage. If it gave none before, it was asleep or empty, which is no defect by itself.",
      fail: "The pack gives nothing although it may be charged: its protection is off for good, or a strap is broken. Never bypass it.",
    }),
    task("load-on-bench", "Connect the known load", {
      instruction:
        "Connect the known load with its switch off, a fuse in its lead: red clip to pack plus, black clip to pack minus. Clear of anything that burns: it gets hot. Dial to DC volts. Its switch is what is squeezed.",
      cautions: ["pack"],
      needs: [{ step: "pack-ready", verdict: "pass" }],
    }),
    volts("pack-load", "Pack on the known load", {
      instruction:
        "Red on pack plus, black on pack minus. Switch the load on for two seconds, then off.",
      cautions: ["pack"],
      needs: [{ step: "load-on-bench", verdict: "any" }],
      red: "pack-plus",
      black: "pack-minus",
      condition: { trigger: "worked" },
      watch: { kind: "sag", edge: 0.01, hold_s: 2 },
      low: 'result("pack-ready") * load_ohm / (load_ohm + cells * cellResistance_ohm)',
      source: `voltage divider of load and pack; 60 mΩ a cell with its joints: ${PRACTICE}`,
      pass: "The pack carries the load.",
      fail: "The pack's resistance is too high: it collapses in the tool.",
      more: { judged: "plateau" },
    }),
    {
      kind: "wait",
      id: "rest",
      title: "Let the pack rest",
      instruction: "Switch the load off. Wait one minute.",
      needs: [{ step: "pack-load", verdict: "any" }],
      duration_s: 60,
    },
    volts("pack-recovered", "Pack, recovered", {
      instruction: "Load switched off. Red on pack plus, black on pack minus.",
      cautions: ["pack"],
      needs: [{ step: "rest", verdict: "any" }],
      red: "pack-plus",
      black: "pack-minus",
      low: 'result("pack-ready") * 0.98',
      pass: "The pack comes back after the load.",
      fail: "The pack stays down after two seconds of load: it is worn out.",
    }),
    ...loadedCells,
    task("load-off", "Take the load off", {
      instruction:
        "Switch the load off, take its red clip off first, then the black one. Then touch the known source.",
      cautions: ["pack"],
      needs: [{ step: "load-on-bench", verdict: "any" }],
    }),
  ],
};
