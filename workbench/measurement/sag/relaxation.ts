import { coverageFactor } from "../distributions.js";
import { fitExponentials } from "../fit/exponentials.js";
import { thinned } from "../fit/thinned.js";
import type { Detail } from "../watch.js";
import type { SqueezeReport } from "./describe.js";
import { sustained } from "./figures.js";
import type { Squeeze } from "./squeezes.js";
import { steadied } from "./steadied.js";
import { fitThevenin } from "./thevenin.js";
import type { TheveninFit } from "./thevenin.js";
import type { Prepared } from "./trace.js";

export interface SourceFigures {
  readonly figures: Record<string, Detail>;
  readonly notes: readonly string[];
}

export interface SourceOptions {
  readonly chosen: number | null;
  readonly load_ohm?: number | undefined;
}

/** A time constant is told only where its 95 % interval is within this share of it. */
const WIDEST = 0.1;
/** A fit of voltage and current takes no more readings than this: some 30 s at 1,000 a second. */
const MOST_FITTED = 30_000;
/** Of these as many before the first squeeze. */
const MOST_BEFORE = 3000;
/** A fit of the voltage alone takes no more points than this. */
const MOST_FITTED_ALONE = 6000;
/** A relaxation must have this many readings within its time constant. */
const FEWEST_PER_TAU = 2;

/** Internal resistance and relaxation of the source, or the reasons why not. */
export function relaxationFigures(
  trace: Prepared,
  squeezes: readonly Squeeze[],
  reports: readonly SqueezeReport[],
  { chosen, load_ohm }: SourceOptions,
): SourceFigures {
  if (chosen === null) return refused("no squeeze in the trace");
  const current = trace.i ?? currentThrough(trace, squeezes, load_ohm);
  if (current !== null) {
    return withCurrent(trace, current, squeezes, usable(trace, squeezes, reports));
  }
  const squeeze = squeezes[chosen];
  if (squeeze === undefined) return refused("no squeeze in the trace");
  return withoutCurrent(trace, squeeze);
}

function refused(note: string, resistance = note): SourceFigures {
  return {
    figures: {
      internalResistance: { value: null, unit: "Ω", note: resistance },
      relaxation1: { value: null, unit: "s", note },
      relaxation2: { value: null, unit: "s", note },
    },
    notes: [],
  };
}

/** Ohm's law at a known load while the trigger is squeezed. */
function currentThrough(
  { n, v }: Prepared,
  squeezes: readonly Squeeze[],
  load_ohm: number | undefined,
): Float64Array | null {
  if (load_ohm === undefined) return null;
  const i = new Float64Array(n);
  for (const { loaded } of squeezes) {
    for (let k = loaded.from; k < loaded.to; k++) i[k] = (v[k] as number) / load_ohm;
  }
  return i;
}

/**
 * The trace up to the first collapse: after it the terminals say nothing of the cells. Of a long
 * one, what lies about the first squeezes.
 */
function usable(
  trace: Prepared,
  squeezes: readonly Squeeze[],
  reports: readonly SqueezeReport[],
): { from: number; to: number } {
  const from = Math.max(0, (squeezes[0]?.loaded.from ?? 0) - MOST_BEFORE);
  const most = Math.min(trace.n, from + MOST_FITTED);
  const collapse = reports.findIndex(({ kind }) => kind === "collapsed");
  const [bad, report] = [squeezes[collapse], reports[collapse]];
  if (bad === undefined) return { from, to: most };
  const baseline = report?.figures["baseline"]?.value ?? 0;
  return { from, to: Math.min(most, sustained(trace, bad, baseline).to) };
}

/** Where no load is drawn: before, between and after the squeezes. */
function idleIn(squeezes: readonly Squeeze[], from: number, to: number): boolean[] {
  const idle = new Array<boolean>(to - from).fill(true);
  for (const { loaded } of squeezes) idle.fill(false, loaded.from - from, loaded.to - from);
  return idle;
}

function withCurrent(
  trace: Prepared,
  current: Float64Array,
  squeezes: readonly Squeeze[],
  { from, to }: { from: number; to: number },
): SourceFigures {
  const part = { t: trace.t.subarray(from, to), v: trace.v.subarray(from, to) };
  const { noise_V, noise_A } = trace;
  const steady = steadied(current.subarray(from, to), noise_A, idleIn(squeezes, from, to));
  const fit = to - from < 8 ? null : fitThevenin({ ...part, current: steady, noise_V, noise_A });
  if (fit === null) {
    return refused("the current does not change enough, or there are too few readings");
  }
  const hidden = trace.interval_s.toPrecision(2);
  const note = `what relaxes within ${hidden} s, the time between readings, counts as immediate`;
  const length_s = (trace.t[to - 1] as number) - (trace.t[from] as number);
  const part_s = `${length_s.toPrecision(3)} s about the first squeezes`;
  const notes = to - from === MOST_FITTED ? [`The resistance is of the ${part_s}.`] : [];
  return {
    figures: {
      internalResistance: {
        value: fit.resistance_ohm,
        unit: "Ω",
        u: Math.hypot(fit.uResistance_ohm, byRounding(trace, current, fit.resistance_ohm)),
        note,
      },
      ...branchFigures(fit, trace.interval_s, length_s),
    },
    notes,
  };
}

/** What rounding leaves in a resistance between two levels. */
function byRounding(
  { rounding_V, rounding_A }: Prepared,
  current: Float64Array,
  resistance: number,
): number {
  const most = current.reduce((a, b) => Math.max(a, b), -Infinity);
  const least = current.reduce((a, b) => Math.min(a, b), Infinity);
  return (Math.SQRT2 * Math.hypot(rounding_V, resistance * rounding_A)) / (most - least);
}

function branchFigures(
  fit: TheveninFit,
  interval_s: number,
  length_s: number,
): Record<string, Detail> {
  const figures: Record<string, Detail> = {};
  for (const k of [0, 1]) {
    const branch = fit.branches[k];
    const tau = `relaxation${k + 1}`;
    const resistance = `relaxation${k + 1}Resistance`;
    if (branch === undefined) {
      const note = "the readings do not support another relaxation";
      figures[tau] = { value: null, unit: "s", note };
      figures[resistance] = { value: null, unit: "Ω", note };
      continue;
    }
    const { tau_s, uTau_s, resistance_ohm, uResistance_ohm } = branch;
    const found = timeConstant({ tau_s, uTau_s }, fit.dof, interval_s, length_s);
    figures[tau] = found;
    figures[resistance] =
      found.value === null
        ? { value: null, unit: "Ω", note: found.note ?? "" }
        : { value: resistance_ohm, unit: "Ω", u: uResistance_ohm };
  }
  return figures;
}

/** A time constant, or why it is refused. */
function timeConstant(
  { tau_s, uTau_s }: { readonly tau_s: number; readonly uTau_s: number },
  dof: number,
  interval_s: number,
  length_s: number,
): Detail {
  const refuse = (note: string): Detail => ({ value: null, unit: "s", note });
  const about = `about ${tau_s.toPrecision(2)} s`;
  if (tau_s < FEWEST_PER_TAU * interval_s) {
    return refuse(`${about}: too fast for readings every ${interval_s.toPrecision(2)} s`);
  }
  if (tau_s > length_s) {
    return refuse(`${about}: longer than the ${length_s.toPrecision(2)} s that were recorded`);
  }
  const half = coverageFactor(0.95, Math.max(1, dof)) * uTau_s;
  if (!(half <= WIDEST * tau_s)) {
    const share = Math.min(999, Math.round((100 * half) / tau_s));
    return refuse(`${about}, but known to ±${share} % only: the trace is too short or too noisy`);
  }
  return { value: tau_s, unit: "s", u: uTau_s };
}

/** From voltage alone: the recovery after the release, whose current is known to be none. */
function withoutCurrent(trace: Prepared, { after, released }: Squeeze): SourceFigures {
  const missing = "no current in the trace, and no known load";
  if (!released) return refused("the trace ends under load: no recovery was seen", missing);
  const n = after.to - after.from;
  if (n < 8) return refused("too few readings after the release", missing);
  const begin = trace.t[after.from] as number;
  const all_s = trace.t.slice(after.from, after.to).map((x) => x - begin);
  const { t, y, group } = thinned(all_s, trace.v.subarray(after.from, after.to), MOST_FITTED_ALONE);
  const fit = fitExponentials(t, y);
  const length_s = all_s[n - 1] as number;
  const figures: Record<string, Detail> = {
    internalResistance: { value: null, unit: "Ω", note: missing },
  };
  for (const k of [0, 1]) {
    const term = fit?.terms[k];
    figures[`relaxation${k + 1}`] =
      fit === null || term === undefined
        ? { value: null, unit: "s", note: "the readings do not support another relaxation" }
        : timeConstant(term, fit.dof, group * trace.interval_s, length_s);
  }
  return { figures, notes: [] };
}
