import type { PlanInput } from "../plan/schema.js";
import {
  cellData,
  chargerOff,
  chargerPoints,
  knownData,
  knownPoints,
  meterProof,
  packPoints,
  underCharge,
} from "./common.js";
import { PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";

/**
 * A charger alone. Many give no voltage until they have recognised a pack: then a pack that is
 * known to be good is the judge, by whether its voltage rises. The charger is not opened.
 */
export const charger: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "charger",
  title: "Charger",
  revision: "2026-11-25",
  tool: { kind: "charger", data: { ...cellData, ...knownData } },
  points: [
    ...knownPoints,
    { id: "plug-live", label: "one pin of the plug", part: "plug" },
    { id: "plug-neutral", label: "the other pin of the plug", part: "plug" },
    ...chargerPoints,
    // The pack that the charger is tried with is no part of it.
    ...packPoints.map((point) => ({ ...point, aside: true })),
  ],
  steps: [
    {
      kind: "look",
      id: "charger-outside",
      title: "Charger, from outside",
      instruction: "Unplugged. Look at plug, cord, case and contacts.",
      cautions: ["mains"],
      choices: [
        { id: "sound", label: "all whole and dry", verdict: "pass" },
        { id: "damaged", label: "cracked, wet, scorched or bare wire", verdict: "fail" },
      ],
      photo: true,
    },
    meterProof,
    ohms("plug-short", "Plug, not shorted", {
      instruction:
        "Unplugged from the wall. Wait ten seconds. Red on one pin of the plug, black on the other. The value may creep.",
      cautions: ["mains", "capacitor"],
      red: "plug-live",
      black: "plug-neutral",
      low: 10,
      source: `a shorted rectifier or transformer shows a few ohms or less: ${PRACTICE}`,
      pass: "The input is not shorted.",
      fail: "The input is shorted: do not plug it in. Replace the charger.",
    }),
    task("charger-on", "Plug the charger in", {
      instruction: "Plug the charger in, no pack in it. Its case stays closed.",
      cautions: ["mains"],
      sets: { charger: "plugged" },
      needs: [
        { step: "charger-outside", verdict: "pass" },
        { step: "plug-short", verdict: "pass" },
      ],
    }),
    volts("charger-output", "Charger output, no pack", {
      instruction: "No pack in the charger. Red on charger plus, black on charger minus.",
      cautions: ["mains"],
      needs: [{ step: "charger-on", verdict: "any" }],
      red: "charger-plus",
      black: "charger-minus",
      condition: { charger: "plugged" },
      // What ripples does not come to rest within a few counts.
      watch: { kind: "settle", window_s: 1, counts: 15 },
      high: "cells * 4.4",
      source: `about 4.2 V a cell, or none until a pack is recognised: ${PRACTICE}`,
      pass: "Not too high. None at all is right for chargers that wait for a pack: the known good pack decides.",
      fail: "Too high: this charger ruins packs. Replace it.",
    }),
    {
      ...volts("charger-ripple", "Ripple of the output", {
        instruction:
          "No pack in the charger. Dial to AC volts. Red on charger plus, black on charger minus.",
        cautions: ["mains"],
        needs: [{ step: "charger-on", verdict: "any" }],
        red: "charger-plus",
        black: "charger-minus",
        condition: { charger: "plugged" },
        high: 'max(0.5, first(result("charger-output"), cells * 4.2) * 0.1)',
        source: `ripple-free: at most 10 % r.m.s. of the direct voltage, definition in IEC 61558-1 (from memory); 0.5 V where hardly anything is there: ${PRACTICE}`,
        pass: "The output is smooth, or there is nothing that could ripple.",
        fail: "The smoothing capacitor or a diode has failed.",
      }),
      coupling: "ac",
      zero: "accept",
    },
    chargerOff,
    volts("pack-before", "Known good pack, before charging", {
      instruction:
        "Take a pack that fits, is known to be good and is not full. Dial to DC volts. Red on pack plus, black on pack minus.",
      cautions: ["pack", "lithium-damaged"],
      red: "pack-plus",
      black: "pack-minus",
      low: "cells * 2.8",
      high: "cells * 4",
      source: `neither deeply discharged nor full: ${PRACTICE}`,
      pass: "This pack can show whether the charger charges.",
      fail: "Take another pack: this one is too low, too full or not good.",
    }),
    task("charge-pack", "Put it on the charger", {
      instruction:
        "Put that pack on the charger and plug the charger in. Stay by it. Unplug at once if the pack grows hot or swells.",
      cautions: ["mains", "lithium-damaged"],
      // What gives too much, or ripples, must not get a pack.
      needs: [
        { step: "charger-outside", verdict: "pass" },
        { step: "plug-short", verdict: "pass" },
        { step: "charger-output", verdict: "pass" },
        { step: "charger-ripple", verdict: "pass" },
        { step: "pack-before", verdict: "pass" },
      ],
      sets: { charger: "plugged" },
    }),
    ...underCharge("Lamp, with the pack on it"),
    task("charge-end", "Unplug, take the pack off", {
      instruction: "Unplug the charger from the wall, take the pack off.",
      cautions: ["mains"],
      needs: [{ step: "charge-pack", verdict: "any" }],
      sets: { charger: "unplugged" },
    }),
    {
      kind: "wait",
      id: "pack-rest",
      title: "Let the pack rest",
      instruction: "One minute: right after charging every pack shows more than it has.",
      needs: [{ step: "charge-end", verdict: "any" }],
      duration_s: 60,
    },
    volts("pack-after", "Known good pack, after charging", {
      instruction:
        "Pack off the charger. Red on pack plus, black on pack minus, on the same range as before.",
      cautions: ["pack"],
      needs: [
        { step: "charging", verdict: "any" },
        { step: "charge-end", verdict: "any" },
      ],
      red: "pack-plus",
      black: "pack-minus",
      low: 'result("pack-before") + cells * 0.01',
      source: `ten minutes lift a cell by well over 10 mV: ${PRACTICE}. A difference within minutes, same meter and range: its errors cancel, and what is left is a count or two`,
      // Guarded by the meter's whole uncertainty it could never be more than borderline.
      more: { rule: "simple" },
      pass: "The charger charges, also if it gives no voltage without a pack.",
      fail: "The charger does not charge a good pack. Try it once more with a second good pack, then replace it.",
    }),
  ],
};
