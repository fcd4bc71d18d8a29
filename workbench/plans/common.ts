import type { PlanInput } from "../plan/schema.js";
import { PRACTICE } from "./sources.js";

type StepInput = PlanInput["steps"][number];

/** Proves the meter, its leads and its dial on a source that is known to be live. */
export const meterProof: StepInput = {
  kind: "measure",
  id: "meter-proof",
  title: "Prove the meter",
  instruction: "Dial to DC volts. Red on known source plus, black on known source minus.",
  quantity: "voltage",
  coupling: "dc",
  red: "known-plus",
  black: "known-minus",
  polarity: "either",
  condition: {},
  watch: { kind: "settle", window_s: 1, counts: 3 },
  limits: {
    low: "knownSource_V * 0.9",
    high: "knownSource_V * 1.1",
    source: `${PRACTICE}; live-dead-live, NFPA 70E 120.5 (from memory)`,
  },
  means: {
    pass: "Meter and leads can be trusted.",
    fail: "Meter, leads or known source is at fault: put that right before anything else.",
  },
};

/** The charger on its own, at its low-voltage contacts. */
export const chargerSteps: readonly StepInput[] = [
  {
    kind: "do",
    id: "charger-on",
    title: "Plug the charger in",
    instruction: "Plug the charger in, no pack in it. Its case stays closed.",
    cautions: ["mains"],
    sets: { charger: "plugged" },
  },
  {
    kind: "measure",
    id: "charger-output",
    title: "Charger output",
    instruction: "No pack in the charger. Red on charger plus, black on charger minus.",
    cautions: ["mains"],
    quantity: "voltage",
    coupling: "dc",
    red: "charger-plus",
    black: "charger-minus",
    polarity: "either",
    condition: { charger: "plugged" },
    watch: { kind: "settle", window_s: 1, counts: 3 },
    limits: {
      low: "cells * 4",
      high: "cells * 4.4",
      source: `about 4.2 V a cell: ${PRACTICE}`,
    },
    means: {
      pass: "The charger gives its voltage.",
      fail: "The charger gives none, or the wrong one. Some give none without a pack: run the charger's own plan.",
    },
  },
  {
    kind: "do",
    id: "charger-off",
    title: "Unplug the charger",
    instruction: "Unplug the charger from the wall.",
    sets: { charger: "unplugged" },
  },
];
