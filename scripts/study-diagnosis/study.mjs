/**
 * The study of the diagnosis: `npm run study:diagnosis` (some 15 minutes of one core).
 * Writes docs/study-diagnosis.md and its two plots beside it. Options: --cases N --follow N --growth-only.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
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
import { growth } from "./growth.mjs";
import { growthWithOrder } from "./order.mjs";
import { growthPlot } from "./growth-plot.mjs";
import { calibration, reliabilityPlot } from "./reliability.mjs";
import { GROWTH_HEAD, growthSection, page } from "./page.mjs";

const { values } = parseArgs({
  options: {
    cases: { type: "string", default: "5000" },
    follow: { type: "string", default: "400" },
    /** Measures the time of an answer again and leaves the rest of the page as it is. */
    "growth-only": { type: "boolean", default: false },
  },
});
const CASES = Number(values.cases);
const FOLLOW = Number(values.follow);
const say = (text) => process.stderr.write(`${text}\n`);

/** Every case measured in the whole fixed order; every third also asked at a random moment on the way. */
function accuracy() {
  const right = { 1: 0, 2: 0 };
  const of = { 1: 0, 2: 0 };
  const stated = { end: [], midway: [], parts: [] };
  const confused = new Map();
  for (let seed = 1; seed <= CASES; seed += 1) {
    if (seed % 250 === 0) say(`${seed} cases`);
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
function effort() {
  const ratios = [];
  const used = { proposed: [], fixed: [] };
  const right = { proposed: 0, fixed: 0 };
  for (let seed = 1; seed <= FOLLOW; seed += 1) {
    const proposed = followProposals(createCase(1e6 + seed));
    const fixed = followFixed(createCase(1e6 + seed));
    const { truth } = createCase(1e6 + seed);
    if (equal(first(proposed.posterior), truth)) right.proposed += 1;
    if (equal(first(fixed.posterior), truth)) right.fixed += 1;
    used.proposed.push(proposed.used);
    used.fixed.push(fixed.used);
    ratios.push(proposed.used / fixed.used);
    if (seed % 50 === 0) say(`${seed} followed`);
  }
  return { ratios, used, right, of: FOLLOW };
}

const root = new URL("../../docs/", import.meta.url);
const pageFile = new URL("study-diagnosis.md", root);

if (values["growth-only"]) {
  const found = growth(say);
  const [before] = readFileSync(pageFile, "utf8").split(GROWTH_HEAD);
  writeFileSync(
    pageFile,
    `${before}${growthSection({ growth: found, orders: growthWithOrder(say) })}`,
  );
  writeFileSync(new URL("study-diagnosis-growth.svg", root), growthPlot(found));
  process.exit(0);
}

const started = process.cpuUsage();
const found = accuracy();
const effortFound = effort();
const growthFound = growth(say);
const orders = growthWithOrder(say);
const bins = {
  end: calibration(found.stated.end),
  midway: calibration(found.stated.midway),
  parts: calibration(found.stated.parts),
};
const cpu = process.cpuUsage(started);
writeFileSync(new URL("study-diagnosis.svg", root), reliabilityPlot(bins));
writeFileSync(new URL("study-diagnosis-growth.svg", root), growthPlot(growthFound));
const cpu_min = (cpu.user + cpu.system) / 6e7;
writeFileSync(
  pageFile,
  page({ cases: CASES, found, bins, effort: effortFound, growth: growthFound, orders, cpu_min }),
);
say("written: docs/study-diagnosis.md, docs/study-diagnosis.svg");
