import type { PlanInput } from "../plan/schema.js";
import { cellData, knownData, knownPoints, meterProof, packOpen, packPoints } from "./common.js";
import { CELL_FULL, PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

/** Taps of a pack of five, from minus to plus; packs with another number need a plan of their own. */
const CELLS = 5;
const tap = (n: number) => (n === 0 ? "pack-minus" : n === CELLS ? "pack-plus" : `tap-${n}`);
const tapLabel = (n: number) =>
  n === 0 ? "pack minus" : n === CELLS ? "pack plus" : `balance tap ${n}`;
const sound = [{ step: "pack-outside", verdict: "pass" }] as const;

/** Each cell against the mean of all: a cell that strays is the one that is going. */
const cellSteps: readonly StepInput[] = Array.from({ length: CELLS }, (_, n) =>
  volts(`cell-${n + 1}`, `Cell ${n + 1}`, {
    instruction: `Red on ${tapLabel(n + 1)}, black on ${tapLabel(n)}. One probe at a time, fingers behind the guard.`,
    cautions: ["pack", "lithium-damaged"],
    needs: [...sound],
    red: tap(n + 1),
    black: tap(n),
    low: 'max(3, result("pack-open") / cells - 0.2)',
    high: 'min(4.25, result("pack-open") / cells + 0.2)',
    source: `3 V and 0.2 V from the mean: ${PRACTICE}; ${CELL_FULL}`,
    pass: "The cell is like the others.",
    fail: "The cell strays from the others: the pack is to be replaced, never balanced by hand.",
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
      cellResistance_ohm: { label: "Greatest resistance of a cell", unit: "Ω", default: 0.06 },
    },
  },
  points: [
    ...knownPoints,
    ...packPoints,
    ...Array.from({ length: CELLS - 1 }, (_, n) => ({
      id: tap(n + 1),
      label: tapLabel(n + 1),
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
    { ...packOpen, needs: [...sound] },
    ...cellSteps,
    ohms("thermistor", "Thermistor", {
      instruction:
        "Dial to ohms. Red on the thermistor contact, black on pack minus. Touch no other contact.",
      cautions: ["pack"],
      needs: [...sound],
      red: "thermistor",
      black: "pack-minus",
      low: 3590,
      high: 33600,
      source:
        "10 kΩ at 25 °C, beta 3950, from 50 °C down to 0 °C by the beta equation; other values exist",
      pass: "The thermistor tells a temperature.",
      fail: "The thermistor is open or shorted: chargers refuse such a pack.",
    }),
    task("load-on-bench", "Connect the known load", {
      instruction:
        "Connect the known load with its switch off: red clip to pack plus, black clip to pack minus. Clear of anything that burns: it gets hot. Dial to DC volts. Its switch is what is squeezed.",
      cautions: ["pack"],
      needs: [{ step: "pack-open", verdict: "pass" }],
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
      low: 'result("pack-open") * load_ohm / (load_ohm + cells * cellResistance_ohm)',
      source: `voltage divider of load and pack; 60 mΩ a cell with its joints: ${PRACTICE}`,
      pass: "The pack carries the load.",
      fail: "The pack's resistance is too high: it collapses in the tool.",
      more: { judged: "plateau" },
    }),
    {
      kind: "wait",
      id: "rest",
      title: "Let the pack rest",
      instruction: "Load off. Wait one minute.",
      needs: [{ step: "pack-load", verdict: "any" }],
      duration_s: 60,
    },
    volts("pack-recovered", "Pack, recovered", {
      instruction: "Red on pack plus, black on pack minus.",
      cautions: ["pack"],
      needs: [{ step: "rest", verdict: "any" }],
      red: "pack-plus",
      black: "pack-minus",
      low: 'result("pack-open") * 0.98',
      pass: "The pack comes back after the load.",
      fail: "The pack stays down after two seconds of load: it is worn out.",
    }),
  ],
};
