/** A share of the cases, worked through in a thread of its own: what each found does not depend on that. */
import { parentPort, workerData } from "node:worker_threads";
import { infer } from "../../dist/workbench/diagnosis/infer.js";
import {
  createCase,
  equal,
  first,
  fixedOrder,
  followFixed,
  followProposals,
  predictor,
} from "./cases.mjs";

/** Every case measured in the whole fixed order; every third also asked at a random moment on the way. */
function accuracy({ from, to }) {
  const right = { 1: 0, 2: 0 };
  const of = { 1: 0, 2: 0 };
  const stated = { end: [], midway: [], parts: [] };
  const confused = new Map();
  for (let seed = from; seed <= to; seed += 1) {
    if (seed % 250 === 0) parentPort.postMessage({ said: `${seed} cases` });
    const one = createCase(seed);
    const observations = [...fixedOrder(one)];
    const posterior = infer(predictor, observations);
    const hit = equal(first(posterior), one.truth);
    of[one.truth.length] += 1;
    if (hit) right[one.truth.length] += 1;
    else count(confused, one, posterior);
    stated.end.push([posterior.candidates[0].probability, hit]);
    posterior.parts.forEach((p, part) => stated.parts.push([p, one.truth.includes(part)]));
    if (seed % 3 !== 0) continue;
    const cut = 1 + Math.floor(one.chance.next() * (observations.length - 1));
    const midway = infer(predictor, observations.slice(0, cut));
    stated.midway.push([midway.candidates[0].probability, equal(first(midway), one.truth)]);
    midway.parts.forEach((p, part) => stated.parts.push([p, one.truth.includes(part)]));
  }
  return { right, of, stated, confused };
}

/** What was hidden, and what was named instead. */
function count(confused, one, posterior) {
  const hidden = one.faults.map(({ part, mode }) => `${part} ${mode.id}`).join(" + ");
  const faults = posterior.explained.find(({ hypothesis }) =>
    equal(hypothesis.parts, first(posterior)),
  )?.hypothesis.faults;
  const { parts } = predictor.compiled.model;
  const said = faults?.map(({ part, mode }) => `${parts[part].id} ${mode.id}`).join(" + ");
  const entry = confused.get(hidden) ?? { missed: 0, said: new Map() };
  entry.missed += 1;
  entry.said.set(said || "nothing", (entry.said.get(said || "nothing") ?? 0) + 1);
  confused.set(hidden, entry);
}

/** The same cases once by the proposals, once in the fixed order, both until settled. */
function effort({ from, to }) {
  const ratios = [];
  const used = { proposed: [], fixed: [] };
  const right = { proposed: 0, fixed: 0 };
  for (let seed = from; seed <= to; seed += 1) {
    const proposed = followProposals(createCase(1e6 + seed));
    const fixed = followFixed(createCase(1e6 + seed));
    const { truth } = createCase(1e6 + seed);
    if (equal(first(proposed.posterior), truth)) right.proposed += 1;
    if (equal(first(fixed.posterior), truth)) right.fixed += 1;
    used.proposed.push(proposed.used);
    used.fixed.push(fixed.used);
    ratios.push(proposed.used / fixed.used);
    if (seed % 50 === 0) parentPort.postMessage({ said: `${seed} followed` });
  }
  return { ratios, used, right, of: to - from + 1 };
}

const found = { accuracy, effort }[workerData.kind](workerData);
parentPort.postMessage({ found });
