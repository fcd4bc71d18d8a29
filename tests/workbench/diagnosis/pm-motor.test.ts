import { expect, test } from "vitest";
import { compile } from "../../../workbench/diagnosis/compile.js";
import { Predictor } from "../../../workbench/diagnosis/predict.js";
import { condition } from "../../../workbench/models/conditions.js";
import { about } from "../../../workbench/models/model.js";
import type { ToolModel } from "../../../workbench/models/model.js";

/**
 * Serway & Jewett, Physics for Scientists and Engineers, the motor example of the chapter on
 * Faraday's law (from memory, recomputed): a motor with 10 Ω of winding on 120 V, back-EMF 70 V at its
 * speed: 12 A at the moment of starting, 5.0 A running. A shunt of a milliohm shows the current.
 */
const live = condition({ pack: "in", trigger: "squeezed" });
const NOMINAL_V = 120;
const SHUNT_OHM = 0.001;

const textbook: ToolModel = {
  kind: "motor",
  title: "A permanent-magnet motor on a stiff supply",
  nominal_V: NOMINAL_V,
  parts: [
    {
      id: "motor",
      label: "Motor",
      access: "closed",
      modes: [
        {
          id: "jam",
          words: "held fast",
          odds: 0.1,
          ways: [[{ element: "motor", stalled: true }]],
        },
      ],
    },
  ],
  points: ["plus", "after-shunt", "earth"].map((id) => ({
    id,
    label: id,
    access: "closed",
    after: null,
  })),
  elements: [
    {
      kind: "source",
      id: "supply",
      a: "plus",
      b: "earth",
      volt: { centre: NOMINAL_V, sd: 0.01, scale: "linear" },
      ohm: about(1e-6, 1.1),
    },
    { kind: "resistor", id: "shunt", a: "plus", b: "after-shunt", ohm: about(SHUNT_OHM, 1.1) },
    {
      kind: "motor",
      id: "motor",
      a: "after-shunt",
      b: "earth",
      ohm: about(10, 1.1),
      // At this speed and load it draws what leaves 70 V of back-EMF.
      noLoad_A: about(5, 1.1),
    },
  ],
  manners: [],
  conditions: [{ id: "live", label: "Live", condition: live }],
  sightings: [],
  probes: [],
};

const predictor = new Predictor(compile(textbook));
const [free, held] = predictor.singles;
const shunt = { quantity: "voltage", red: "plus", black: "after-shunt", condition: live } as const;
const ampere = (hypothesis: typeof free): number =>
  predictor.predict(shunt, hypothesis!).mean / SHUNT_OHM;

test("at standstill only the winding limits the current: 12 A", () => {
  expect(held?.faults).toHaveLength(1);
  expect(ampere(held)).toBeCloseTo(12, 2);
  expect(predictor.speed(live, held!)).toBe(0);
});

test("running it draws 5.0 A, and 70 V of the 120 V are back-EMF", () => {
  expect(ampere(free)).toBeCloseTo(5, 2);
  expect(predictor.speed(live, free!) * NOMINAL_V).toBeCloseTo(70, 1);
});
