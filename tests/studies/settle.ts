import { writeFileSync } from "node:fs";
import { KINDS } from "./scenes.js";
import { tradeOffPlot } from "./settle-plot.js";
import type { Curve } from "./settle-plot.js";
import { naiveRule, trackerRule } from "./settle-run.js";
import { creepHeld, FULL_SCALES, quantile, RATES, tally } from "./settle-tables.js";
import type { Tally } from "./settle-tables.js";

/**
 * The settling study: `npm run study:settle`. Writes docs/study-settle.md and its plot, and fails
 * where a bar is missed. STUDY_PER_CELL sets the scenes of each kind, rate and scale.
 */
const perCell = Number(process.env["STUDY_PER_CELL"] ?? 300);
const docs = new URL("../../docs/", import.meta.url);
const step = { window_s: 1, counts: 3 };
const rule = trackerRule(step);

const perThousand = (n: number, of: number): string => ((1000 * n) / Math.max(1, of)).toFixed(2);

function row(label: string, t: Tally): string {
  const figures = [
    String(t.sequences),
    `${t.falseHolds} (${perThousand(t.falseHolds, t.sequences)})`,
    t.settled === 0 ? "—" : `${t.missed} (${perThousand(t.missed, t.settled)})`,
    t.settled === 0 ? "—" : quantile(t.delays_s, 0.5).toFixed(2),
    t.settled === 0 ? "—" : quantile(t.delays_s, 0.95).toFixed(2),
    t.settled === 0 ? "—" : perThousand(t.errors.length - t.offByMore, t.errors.length),
    t.settled === 0 ? "—" : Math.max(...t.errors).toFixed(2),
  ];
  return `| ${label} | ${figures.join(" | ")} |`;
}

function sum(parts: readonly Tally[]): Tally {
  return {
    sequences: parts.reduce((n, t) => n + t.sequences, 0),
    settled: parts.reduce((n, t) => n + t.settled, 0),
    falseHolds: parts.reduce((n, t) => n + t.falseHolds, 0),
    missed: parts.reduce((n, t) => n + t.missed, 0),
    offByMore: parts.reduce((n, t) => n + t.offByMore, 0),
    delays_s: parts.flatMap((t) => t.delays_s),
    errors: parts.flatMap((t) => t.errors),
  };
}

const cells = KINDS.flatMap((kind) =>
  RATES.map((rate) => ({ kind, rate, found: tally(rule, step.window_s, perCell, { kind, rate }) })),
);
const total = sum(cells.map(({ found }) => found));
const byRate = RATES.map((rate) => ({
  rate,
  found: sum(cells.filter((cell) => cell.rate === rate).map(({ found }) => found)),
}));

const few = Math.max(10, Math.round(perCell / 5));
const ours: Curve = {
  label: "tracker, by window",
  colour: "#0a5f8a",
  points: [0.3, 0.5, 0.75, 1, 1.5, 2].map((window_s) => {
    const t = tally(trackerRule({ window_s, counts: 3 }), window_s, few);
    return [quantile(t.delays_s, 0.5), (1000 * t.falseHolds) / t.sequences, `${window_s} s`];
  }),
};
const naive: Curve = {
  label: "n equal readings in a row",
  colour: "#b0440a",
  points: [2, 3, 5, 8, 12, 20].map((n) => {
    const t = tally(naiveRule(n, 0), 1, few);
    return [quantile(t.delays_s, 0.5), (1000 * t.falseHolds) / t.sequences, `n = ${n}`];
  }),
};
const naiveTallies = [3, 5, 8].flatMap((n) =>
  [0, 3].map((counts) => ({ n, counts, found: tally(naiveRule(n, counts), 1, few) })),
);

const speeds = [0.1, 0.3, 0.5, 1, 1.5, 2, 3, 5];
const creeps = speeds.map((speed) => RATES.map((rate) => creepHeld(speed, rate, 200)));

const each = [total, ...byRate.map(({ found }) => found)];
const bars: readonly (readonly [string, boolean])[] = [
  ["at least 10,000 sequences", total.sequences >= 10_000],
  [
    "false holds under 1 in 1,000, in all and at each rate",
    each.every((t) => t.falseHolds * 1000 < t.sequences),
  ],
  [
    "missed holds under 1 in 1,000, in all and at each rate",
    each.every((t) => t.missed * 1000 < t.settled),
  ],
  [
    "median time to hold at most 1.25 windows, in all and at each rate",
    each.every((t) => quantile(t.delays_s, 0.5) <= 1.25),
  ],
  [
    "held value within 1 count in 99 of 100, in all and at each rate",
    each.every((t) => t.offByMore * 100 < t.errors.length),
  ],
];

const head =
  "| | sequences | false holds (of 1,000) | missed (of 1,000) | median s | 95 % s | within 1 count (of 1,000) | worst, counts |\n|---|---|---|---|---|---|---|---|";
const text = `# When a reading is held: a simulation study

Written by \`npm run study:settle\` (seeded; the same text each time). ${total.sequences} invented
sequences, ${FULL_SCALES.map((n) => n.toLocaleString("en")).join(", ")} counts, the step's usual window of 1 s and 3 counts.

## What is simulated
- **ghost**: open probes on ten megohms, 0.1 to 1 V wandering (correlated over 0.1 to 2 s) with hum that beats; range 20 V. Nothing ever settles.
- **touch**: the same, then contact that bounces up to 0.3 s and stays.
- **rub**: contact resistance that jumps about by 1 to 30 % (at least 12 counts, correlated over 0.02 to 0.3 s) with gaps; half of them come to rest.
- **creep**: R·(1 − exp(−t/τ)), τ 0.05 to 3 s; half of them instead a straight rise of 3 counts a second or faster that never ends.
- **range**: overload and coarser ranges, one to three changes, then the value.

Meters average over 30 to 95 % of the time between readings, round to counts, and have white noise of 0.15 counts plus 5 millionths of full scale at 1,000 readings a second (less by the root of the rate). Truly settled: the value without noise is within one count of its end and stays there. A false hold is a hold where nothing settles, or before settling at a value more than a count off. Missed: not held four windows after settling.

## Result
${head}
${row("**all**", total)}
${byRate.map(({ rate, found }) => row(`${rate} a second`, found)).join("\n")}
${cells.map(({ kind, rate, found }) => row(`${kind}, ${rate}/s`, found)).join("\n")}

${bars.map(([name, met]) => `- ${met ? "met" : "**missed**"}: ${name}`).join("\n")}

## The trade-off
![false holds against time to hold](study-settle.svg)

A longer window buys fewer false holds with waiting. The naive rule (n equal readings in a row) is quick at high rates and wrong: at 1,000 readings a second n readings are over before anything has moved; a noisy last digit keeps it from ever holding.

| naive rule | false holds (of 1,000) | missed (of 1,000) | median s |
|---|---|---|---|
${naiveTallies
  .map(
    ({ n, counts, found }) =>
      `| ${n} in a row within ${counts} counts | ${perThousand(found.falseHolds, found.sequences)} | ${perThousand(found.missed, found.settled)} | ${quantile(found.delays_s, 0.5).toFixed(2)} |`,
  )
  .join("\n")}

## Where the rule is blind
A straight creep slower than a third of the allowed counts a window counts as still: the step allows it to move more than that. Share held within 10 s:

| counts a second | ${RATES.map((rate) => `${rate}/s`).join(" | ")} |
|---|${RATES.map(() => "---|").join("")}
${speeds.map((speed, k) => `| ${speed} | ${creeps[k]!.map((share) => `${(100 * share).toFixed(1)} %`).join(" | ")} |`).join("\n")}

Which held values are off by more than a count: nearly all are ohms that still creep, and the slower the meter the more of them. Its rounding hides how much is left to come; to wait longer would miss more holds than it would mend. The few at 100 and 1,000 readings a second come of a rubbing probe that stood still by chance at another value just before it came to rest.

At 3 readings a second a window of 1 s has three readings, each of which the meter averaged over most of the time since the one before. After a restless stretch more are asked for, so a slow meter takes longer after ghost volts or rubbing; ghost volts or rubbing of a few counts only cannot be told from a reading. Noise of the meter's own that is white, and no more than 0.05 % of the reading, is averaged and no movement.

## The rule
The stream is cut into slots of an eighth of the window (a slow meter: one reading each). Held, when the slot means of one window
1. stay within the allowed counts peak to peak (or within six standard deviations of the meter's own noise),
2. show no creep: over one, two, four and six windows back to the last jump or turn, first, middle and last third either do not differ beyond 2.5 standard deviations, or shrink so fast that less than a quarter of the allowed counts is left to come (a slow meter, with one reading an eighth of the window or fewer: a third); of three readings in all since contact nothing can be told about creep, so that they must agree within one count,
3. are unlikely to be chance: the more the readings moved in the last two windows, the fewer in a row convince (probability below one in a hundred thousand).
`;

writeFileSync(new URL("study-settle.md", docs), text);
writeFileSync(new URL("study-settle.svg", docs), tradeOffPlot([ours, naive]));
console.log(text);
if (bars.some(([, met]) => !met)) process.exitCode = 1;
