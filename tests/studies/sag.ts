import { writeFileSync } from "node:fs";
import { coverageFactor } from "../../workbench/measurement/distributions.js";
import { analyseSag } from "../../workbench/measurement/sag/analyse.js";
import type { Detail } from "../../workbench/measurement/watch.js";
import { simulatePack } from "../workbench/measurement/pack.js";
import type { PackModel } from "../workbench/measurement/pack.js";
import { Random } from "../workbench/measurement/random.js";

/**
 * The sag study: `npm run study:sag`. Writes docs/study-sag.md and fails where a bar is missed.
 * STUDY_RUNS sets the runs at 100 readings a second.
 */
const runs = Number(process.env["STUDY_RUNS"] ?? 1000);

/** An invented pack with a motor. */
function anyPack(random: Random): PackModel {
  const r0_ohm = random.scale(0.03, 0.25);
  const emf_V = random.between(14, 19.9);
  // No motor pulls a pack below half: its protection would open.
  const run_A = Math.min(random.between(5, 25), (0.13 * emf_V) / r0_ohm);
  return {
    emf_V,
    r0_ohm,
    branches: [
      [r0_ohm * random.between(0.15, 0.6), random.scale(0.08, 0.4)],
      [r0_ohm * random.between(0.15, 0.6), random.scale(1.2, 4)],
    ],
    inrush_A: run_A * random.between(1.5, 3.5),
    run_A,
    runUp_s: random.between(0.04, 0.15),
  };
}

interface Counted {
  told: number;
  refused: number;
  within: number;
  covered: number;
  errors: number[];
}

const none = (): Counted => ({ told: 0, refused: 0, within: 0, covered: 0, errors: [] });

function count(into: Counted, found: Detail | undefined, truth: number, within: number): void {
  if (found?.value == null || found.u === undefined) {
    into.refused += 1;
    return;
  }
  const error = found.value / truth - 1;
  into.told += 1;
  into.errors.push(Math.abs(error));
  if (Math.abs(error) <= within) into.within += 1;
  if (Math.abs(found.value - truth) <= coverageFactor(0.95, Infinity) * found.u) into.covered += 1;
}

function study(rate: number, n: number) {
  const result = { r: none(), tau1: none(), tau2: none() };
  for (let seed = 0; seed < n; seed++) {
    const random = new Random(seed * 7_919 + rate);
    const pack = anyPack(random);
    const on = random.between(0.8, 1.5);
    const off = on + random.between(1.2, 2.5);
    const trace = simulatePack(pack, {
      squeezes: [[on, off]],
      length_s: off + random.between(6, 12),
      rate,
      noise_V: random.scale(0.0008, 0.004),
      noise_A: random.scale(0.01, 0.05),
      count_V: 0.001,
      count_A: 0.01,
      seed: seed + 1,
    });
    const { figures } = analyseSag(trace);
    const [[, tau1], [, tau2]] = pack.branches as [[number, number], [number, number]];
    count(result.r, figures["internalResistance"], pack.r0_ohm, 0.03);
    // Told constants are matched in order; a single told one may be either, and counts as nearest.
    const first = figures["relaxation1"];
    const swapped =
      first?.value != null &&
      Math.abs(Math.log(first.value / tau2)) < Math.abs(Math.log(first.value / tau1));
    count(result.tau1, swapped ? undefined : first, tau1, 0.1);
    count(result.tau2, swapped ? first : figures["relaxation2"], tau2, 0.1);
  }
  return result;
}

const quantile = (values: readonly number[], q: number): number =>
  [...values].sort((a, b) => a - b)[Math.floor(q * values.length)] ?? Number.NaN;

function row(label: string, { told, refused, within, covered, errors }: Counted): string {
  const share = (k: number): string => (told === 0 ? "—" : `${((100 * k) / told).toFixed(1)} %`);
  const middle = told === 0 ? "—" : `${(100 * quantile(errors, 0.5)).toFixed(2)} %`;
  const most = told === 0 ? "—" : `${(100 * quantile(errors, 0.99)).toFixed(2)} %`;
  return `| ${label} | ${told} | ${refused} | ${middle} | ${most} | ${share(within)} | ${share(covered)} |`;
}

function table(rate: number, found: ReturnType<typeof study>): string {
  return [
    row(`internal resistance, ${rate}/s (3 %)`, found.r),
    row(`fast relaxation, ${rate}/s (10 %)`, found.tau1),
    row(`slow relaxation, ${rate}/s (10 %)`, found.tau2),
  ].join("\n");
}

const at100 = study(100, runs);
const others = [10, 1000].map((rate) => ({
  rate,
  n: rate === 10 ? Math.ceil(runs / 5) : Math.ceil(runs / 50),
}));
const rest = others.map(({ rate, n }) => ({ rate, found: study(rate, n) }));

const covers = at100.r.covered / at100.r.told;
const bars: readonly (readonly [string, boolean])[] = [
  [
    "internal resistance within 3 % at 100 a second (95 of 100 runs or more)",
    at100.r.within >= 0.95 * runs,
  ],
  [
    "its 95 % interval covers truth in 95 ± 2 % of runs",
    covers >= 0.93 && covers <= 0.97 && at100.r.told === runs,
  ],
  [
    "every told relaxation within 10 % (95 of 100 or more)",
    at100.tau1.within >= 0.95 * at100.tau1.told && at100.tau2.within >= 0.95 * at100.tau2.told,
  ],
];

const text = `# Internal resistance and relaxation: a simulation study

Written by \`npm run study:sag\` (seeded; the same text each time). Invented packs: 14 to 19.9 V,
internal resistance 0.03 to 0.25 Ω, two relaxations (15 to 60 % of that resistance each, 0.08 to
0.4 s and 1.2 to 4 s), a motor that draws 1.5 to 3.5 times its running current of 5 to 25 A at the
edge and runs up in 0.04 to 0.15 s, held for 1.2 to 2.5 s, recorded for 6 to 12 s after the release.
Readings: 4½ digits (1 mV, 10 mA), noise 0.8 to 4 mV and 10 to 50 mA, taken at any moment relative to the edges.

| figure (bar) | told | refused | median error | 99 % | within bar | 95 % interval covers truth |
|---|---|---|---|---|---|---|
${table(100, at100)}
${rest.map(({ rate, found }) => table(rate, found)).join("\n")}

${bars.map(([name, met]) => `- ${met ? "met" : "**missed**"}: ${name}`).join("\n")}

Where in its interval an edge fell is unknown. That is part of the interval of the resistance: a
fast relaxation has begun by the first reading, and at 10 readings a second it may be half over. A
time constant is told only where its 95 % interval is within 10 % of it, it is no shorter than two
intervals between readings and no longer than the recording; otherwise it is refused with the reason.

Known to be short of its bar: the interval of the internal resistance would have to be about 15 %
wider at 100 readings a second, and about half as wide again at 10, where the inrush itself falls
between readings. Why is not yet known.
`;

writeFileSync(new URL("../../docs/study-sag.md", import.meta.url), text);
console.log(text);
if (bars.some(([, met]) => !met)) process.exitCode = 1;
