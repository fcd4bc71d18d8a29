import { compile } from "../../dist/workbench/diagnosis/compile.js";
import { infer } from "../../dist/workbench/diagnosis/infer.js";
import { proposals } from "../../dist/workbench/diagnosis/next-probe.js";
import { Predictor } from "../../dist/workbench/diagnosis/predict.js";
import { modelOf } from "../../dist/workbench/models/kinds.js";

const spread = (centre, factor) => ({ centre, sd: Math.log(factor), scale: "log" });
export const REST = {
  trigger: "squeezed",
  pack: "in",
  charger: "unplugged",
  shaft: "still",
  case: "closed",
  mains: "unplugged",
};

/** A supply, a chain of so many parts that may open or gain resistance, and a motor. */
export function chain(parts) {
  const base = modelOf("cordless-brushed", {});
  const wires = Array.from({ length: parts }, (_, i) => i);
  return {
    ...base,
    kind: `chain-${parts}`,
    manners: [],
    sightings: [],
    points: [...wires, parts].map((i) => ({
      id: `p${i}`,
      label: `Point ${i}`,
      access: "closed",
      after: null,
    })),
    elements: [
      {
        kind: "source",
        id: "supply",
        a: "p0",
        b: "earth",
        volt: { centre: 19, sd: 1, scale: "linear" },
        ohm: spread(0.12, 1.5),
      },
      ...wires.map((i) => ({
        kind: "resistor",
        id: `w${i}`,
        a: `p${i}`,
        b: `p${i + 1}`,
        ohm: spread(0.02, 2),
      })),
      {
        kind: "motor",
        id: "motor",
        a: `p${parts}`,
        b: "earth",
        ohm: spread(0.3, 1.5),
        noLoad_A: spread(2, 1.5),
      },
    ],
    parts: wires.map((i) => ({
      id: `w${i}`,
      label: `Wire ${i}`,
      access: "closed",
      modes: [
        { id: "open", words: "open", odds: 0.02, ways: [[{ element: `w${i}`, ohm: "open" }]] },
        {
          id: "high-resistance",
          words: "high",
          odds: 0.01,
          ways: [[{ element: `w${i}`, ohm: [1, 1000] }]],
        },
      ],
    })),
    conditions: [{ id: "squeezed", label: "Squeezed", condition: REST }],
    probes: wires.map((i) => ({
      quantity: "voltage",
      red: "p0",
      black: `p${i + 1}`,
      condition: "squeezed",
    })),
  };
}

/** CPU time of one answer, milliseconds: the middle of several. */
export function timed(run, times) {
  const taken = Array.from({ length: times }, () => {
    const from = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(from);
    return (user + system) / 1000;
  });
  return taken.sort((a, b) => a - b)[Math.floor(times / 2)];
}

const read = (i, value) => ({
  kind: "measured",
  quantity: "voltage",
  red: "p0",
  black: `p${i}`,
  condition: REST,
  value,
  u: null,
  proved: true,
  unsteady: null,
});
const readingsOf = (parts) => [read(1, 0.04), read(Math.floor(parts / 2), 0.2), read(parts, 18.7)];

/** How the time of one answer grows with the number of parts. */
export function growth(say) {
  return [5, 10, 15, 20, 30, 40].map((parts) => {
    const model = chain(parts);
    const predictor = new Predictor(compile(model));
    const bad = Math.floor(parts * 0.7);
    const observations = readingsOf(parts);
    let cold = timed(() => infer(predictor, observations), 1);
    const posterior = infer(predictor, observations);
    cold += timed(() => proposals(posterior), 1);
    // Each time a reading that nobody has seen before, as on the bench.
    const last = observations.at(-1);
    const fresh = () => [...observations.slice(0, -1), { ...last }];
    const reason = timed(() => infer(predictor, fresh()), 9);
    const propose = timed(() => proposals(infer(predictor, fresh())), 9) - reason;
    say(`${parts} parts, fault at ${bad}: ${reason.toFixed(1)} + ${propose.toFixed(1)} ms`);
    return {
      parts,
      singles: predictor.singles.length,
      hypotheses: predictor.doubles.length,
      cold,
      reason,
      propose,
    };
  });
}
