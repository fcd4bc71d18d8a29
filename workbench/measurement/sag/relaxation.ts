import type { Detail } from "../watch.js";
import type { SqueezeReport } from "./describe.js";
import { sustained } from "./figures.js";
import { recoveryFigures } from "./recovery-fit.js";
import { refused } from "./source-figures.js";
import type { SourceFigures } from "./source-figures.js";
import type { Squeeze } from "./squeezes.js";
import { steadied } from "./steadied.js";
import { fitThevenin } from "./thevenin.js";
import type { TheveninFit } from "./thevenin.js";
import { timeConstant } from "./time-constant.js";
import type { Prepared } from "./trace.js";

export interface SourceOptions {
  readonly chosen: number | null;
  readonly load_ohm?: number | undefined;
}

/** A fit of voltage and current takes no more readings than this: some 30 s at 1,000 a second. */
const MOST_FITTED = 30_000;
/** Of these as many before the first squeeze. */
const MOST_BEFORE = 3000;
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
    return withCurrent(trace, current, squeezes, usable(trace, squeezes, reports), load_ohm);
  }
  const squeeze = squeezes[chosen];
  if (squeeze === undefined) return refused("no squeeze in the trace");
  return recoveryFigures(trace, squeeze);
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
  load_ohm: number | undefined,
): SourceFigures {
  const part = { t: trace.t.subarray(from, to), v: trace.v.subarray(from, to) };
  const { noise_V } = trace;
  // Through a known load the current is the voltage's own noise.
  const noise_A = trace.i === null ? noise_V / (load_ohm ?? Infinity) : trace.noise_A;
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
