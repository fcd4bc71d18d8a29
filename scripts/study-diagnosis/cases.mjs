import { compile } from "../../dist/workbench/diagnosis/compile.js";
import { infer } from "../../dist/workbench/diagnosis/infer.js";
import { isSettled, proposals } from "../../dist/workbench/diagnosis/next-probe.js";
import { Predictor } from "../../dist/workbench/diagnosis/predict.js";
import { modelOf } from "../../dist/workbench/models/kinds.js";
import { buildTool, createMeter, drawFaults, observe, see, seeded } from "./tool.mjs";

const model = modelOf("cordless-brushed", {
  nominal_V: 18,
  cells: 5,
  trigger: "mechanical",
  charger: "always-live",
});
const conditions = new Map(model.conditions.map(({ id, condition }) => [id, condition]));
export const predictor = new Predictor(compile(model));

/** One tool on the bench, with its hidden faults and the meter of the day. */
export function createCase(seed, count) {
  const chance = seeded(seed);
  const faults = drawFaults(chance, model, count);
  const tool = buildTool(chance, model, faults);
  const meter = createMeter(chance);
  const take = (probe) => observe(chance, tool, meter, probe, conditions.get(probe.condition));
  const seen = new Map();
  const look = (sighting) => ({
    kind: "seen",
    sighting: sighting.id,
    value: see(chance, model, tool, faults, sighting, seen),
  });
  const truth = faults.map(({ part }) => model.parts.findIndex(({ id }) => id === part));
  return { chance, faults, truth: truth.sort((a, b) => a - b), take, look };
}

/**
 * The fixed order from supply to work. As a technician would, it swaps in a known good pack only
 * where the tool's own does not carry the load, puts the pack on the charger only where the charger
 * alone was low, and feeds the motor directly, and a lamp through the terminals, only where the
 * motor does not run as it should.
 */
export function* fixedOrder(one) {
  const taken = (condition) => model.probes.filter((probe) => probe.condition === condition);
  const sights = (...ids) => model.sightings.filter(({ id }) => ids.includes(id));
  const plain = model.probes.filter(
    ({ condition }) => !/known|charger-with|lamp|fed/.test(condition),
  );
  let needsKnown = false;
  for (const probe of plain) {
    const reading = one.take(probe);
    yield reading;
    if (probe.condition === "charger-empty" && reading.value < 20) {
      yield one.take(taken("charger-with-pack")[0]);
    }
    if (probe.red === "pack-plus" && reading.value < 15) needsKnown = true;
    if (probe.red !== "brush-a" || probe.condition !== "squeezed") continue;
    if (needsKnown) for (const extra of taken("known-pack-squeezed")) yield one.take(extra);
    const pack = needsKnown ? "-known-pack" : "";
    let runs = true;
    for (const sighting of sights(`motor-turns${pack}`, `chuck-turns${pack}`)) {
      const seen = one.look(sighting);
      if (seen.value !== "yes") runs = false;
      yield seen;
    }
    if (runs) continue;
    for (const extra of [...taken("lamp-on-tool"), ...taken("motor-fed")]) yield one.take(extra);
    for (const sighting of sights("motor-turns-fed", "chuck-turns-fed")) yield one.look(sighting);
  }
  const last = [
    "contacts-look",
    "shaft-turns-by-hand",
    "brushes-look",
    "motor-shaft-turns-by-hand",
    "gears-by-hand",
  ];
  for (const sighting of sights(...last)) yield one.look(sighting);
}

export const first = (posterior) => posterior.candidates[0]?.parts ?? [];
export const equal = (a, b) => a.length === b.length && a.every((x, i) => x === b[i]);

/** Follows the proposals until settled or nothing is left. */
export function followProposals(one) {
  const observations = [];
  for (;;) {
    const posterior = infer(predictor, observations);
    if (isSettled(posterior)) return { posterior, used: observations.length };
    const best = proposals(posterior)[0];
    if (best === undefined) return { posterior, used: observations.length };
    const { ask } = best;
    observations.push(ask.kind === "measure" ? one.take(ask.probe) : one.look(ask.sighting));
  }
}

/** Follows the fixed order until settled or at its end. */
export function followFixed(one) {
  const observations = [];
  let posterior = infer(predictor, observations);
  for (const taken of fixedOrder(one)) {
    observations.push(taken);
    posterior = infer(predictor, observations);
    if (isSettled(posterior)) break;
  }
  return { posterior, used: observations.length };
}
