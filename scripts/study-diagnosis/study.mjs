/**
 * The study of the diagnosis: `npm run study:diagnosis` (some 15 minutes of one core).
 * Writes docs/study-diagnosis.md and its two plots beside it. Options: --cases N --follow N --growth-only.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { Worker } from "node:worker_threads";
import { growth } from "./growth.mjs";
import { growthWithOrder } from "./order.mjs";
import { growthPlot } from "./growth-plot.mjs";
import { calibration, reliabilityPlot } from "./reliability.mjs";
import { GROWTH_HEAD, growthSection, page } from "./page.mjs";

const { values } = parseArgs({
  options: {
    cases: { type: "string", default: "5000" },
    follow: { type: "string", default: "300" },
    /** Measures the time of an answer again and leaves the rest of the page as it is. */
    "growth-only": { type: "boolean", default: false },
  },
});
const CASES = Number(values.cases);
const FOLLOW = Number(values.follow);
const say = (text) => process.stderr.write(`${text}\n`);

/** A share of the work in a thread of its own. */
function share(kind, from, to) {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL("./share.mjs", import.meta.url), {
      workerData: { kind, from, to },
    });
    worker.on("message", ({ said, found }) => (found === undefined ? say(said) : resolve(found)));
    worker.on("error", reject);
  });
}

/** Two shares of the accuracy together. */
function together(a, b) {
  const sum = (x, y) => ({ 1: x[1] + y[1], 2: x[2] + y[2] });
  const stated = Object.fromEntries(
    Object.keys(a.stated).map((name) => [name, [...a.stated[name], ...b.stated[name]]]),
  );
  const confused = new Map(a.confused);
  for (const [hidden, { missed, said }] of b.confused) {
    const entry = confused.get(hidden) ?? { missed: 0, said: new Map() };
    entry.missed += missed;
    for (const [words, n] of said) entry.said.set(words, (entry.said.get(words) ?? 0) + n);
    confused.set(hidden, entry);
  }
  return { right: sum(a.right, b.right), of: sum(a.of, b.of), stated, confused };
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
const half = Math.floor(CASES / 2);
const [one, other, effortFound] = await Promise.all([
  share("accuracy", 1, half),
  share("accuracy", half + 1, CASES),
  share("effort", 1, FOLLOW),
]);
const found = together(one, other);
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
