import type { Detail } from "../watch.js";
import {
  baselineOf,
  currentOf,
  FLOOR_INTERVAL_S,
  floorOf,
  kindOf,
  levelOf,
  plateauRange,
  sustained,
} from "./figures.js";
import type { Level, SqueezeKind } from "./figures.js";
import type { Squeeze } from "./squeezes.js";
import { twoLoadResistance } from "./resistance.js";
import type { Prepared } from "./trace.js";

export interface SqueezeReport {
  readonly kind: SqueezeKind;
  /** Whether baseline, plateau and release were all seen. */
  readonly complete: boolean;
  /** First reading under load and first reading after it; null where the trace ends before. */
  readonly edge_s: number;
  readonly release_s: number | null;
  /** How many readings the plateau is the mean of. */
  readonly plateauReadings: number;
  readonly figures: Readonly<Record<string, Detail>>;
  readonly notes: readonly string[];
}

const KIND_NOTES: Record<SqueezeKind, string | null> = {
  "ran-up": null,
  "stayed-down":
    "The voltage never rose from its floor: the tool stalled, or the load has no inrush.",
  collapsed:
    "The voltage collapsed under load: the pack's protection opened, or a probe lost contact.",
  unclear: null,
};

/** All figures of one squeeze. */
export function describeSqueeze(trace: Prepared, squeeze: Squeeze): SqueezeReport {
  const { t } = trace;
  const baseline = baselineOf(trace, squeeze);
  const top = baseline?.value ?? highest(trace, squeeze);
  const loaded = sustained(trace, squeeze, top);
  const range = plateauRange(trace, loaded);
  const plateau = levelOf(trace, range.from, range.to);
  const kind = kindOf(trace, squeeze, top, plateau?.value ?? null);
  const floor = floorOf(trace, loaded);
  const edge_s = t[squeeze.loaded.from] as number;
  const release_s = squeeze.released ? (t[squeeze.loaded.to] as number) : null;
  const recovery = recoveryOf(trace, squeeze);
  const note = KIND_NOTES[kind];
  return {
    kind,
    complete: baseline !== null && plateau !== null && squeeze.released && kind !== "collapsed",
    edge_s,
    release_s,
    plateauReadings: plateau?.n ?? 0,
    figures: {
      baseline: level(baseline, "V", "the trace begins under load: no baseline was seen"),
      floor: floor.detail,
      plateau: level(plateau, "V", "too few readings under load"),
      recovery: recovery.level,
      depth: difference(baseline, floor.detail, "V"),
      sag: difference(baseline, level(plateau, "V", ""), "V"),
      droop: slope(plateau),
      ...times(trace, squeeze, floor.at),
      recoveryTime: recovery.time(plateau),
      dcResistance: dcResistance(trace, squeeze, baseline, plateau, range),
    },
    notes: note === null ? [] : [note],
  };
}

/** The figures of a trace without a squeeze. */
export function noSqueeze(trace: Prepared): Record<string, Detail> {
  const note = "no squeeze in the trace: the voltage never fell clearly below its level";
  const all = levelOf(trace, 0, trace.n);
  const none = (unit: string): Detail => ({ value: null, unit, note });
  return {
    baseline: level(all, "V", note),
    floor: none("V"),
    plateau: none("V"),
    recovery: none("V"),
    depth: none("V"),
    sag: none("V"),
    droop: none("V/s"),
    fallTime: none("s"),
    fallSlope: none("V/s"),
    floorTime: none("s"),
    holdTime: none("s"),
    recoveryTime: none("s"),
    dcResistance: none("Ω"),
  };
}

function level(found: Level | null, unit: string, missing: string): Detail {
  if (found === null) return { value: null, unit, note: missing };
  return { value: found.value, unit, u: found.u };
}

function highest({ v }: Prepared, { loaded, after }: Squeeze): number {
  return v.subarray(loaded.from, Math.max(after.to, loaded.to)).reduce((a, b) => Math.max(a, b));
}

function difference(from: Level | null, to: Detail, unit: string): Detail {
  if (from === null) return { value: null, unit, note: "no baseline was seen" };
  if (to.value === null) return { value: null, unit, ...(to.note && { note: to.note }) };
  const u = Math.hypot(from.u, to.u ?? 0);
  return { value: from.value - to.value, unit, u, ...(to.note && { note: to.note }) };
}

function slope(plateau: Level | null): Detail {
  if (plateau === null || !Number.isFinite(plateau.uSlope)) {
    return { value: null, unit: "V/s", note: "too few readings under load for a slope" };
  }
  return { value: plateau.slope, unit: "V/s", u: plateau.uSlope };
}

function times(trace: Prepared, squeeze: Squeeze, floorAt: number): Record<string, Detail> {
  const { t, v, interval_s } = trace;
  const { from, to } = squeeze.loaded;
  // Each end of a time falls somewhere within one interval between readings (rectangular).
  const u = (interval_s * Math.SQRT2) / Math.sqrt(12);
  const before = squeeze.open.to > squeeze.open.from ? from - 1 : null;
  const missing = "the trace begins under load: the edge was not seen";
  const slow = `the edge lies within ${interval_s.toPrecision(2)} s between two readings`;
  const holdTime: Detail = squeeze.released
    ? { value: (t[to] as number) - (t[from] as number), unit: "s", u }
    : { value: null, unit: "s", note: "the trace ends under load: no release was seen" };
  if (before === null) {
    const none = (unit: string): Detail => ({ value: null, unit, note: missing });
    return { fallTime: none("s"), fallSlope: none("V/s"), floorTime: none("s"), holdTime };
  }
  const until = throughFall(trace, before, floorAt);
  const note = interval_s > FLOOR_INTERVAL_S ? { note: slow } : {};
  return {
    fallTime: { value: (t[until] as number) - (t[before] as number), unit: "s", u, ...note },
    fallSlope: steepest(trace, before, until, v),
    floorTime: { value: (t[floorAt] as number) - (t[from] as number), unit: "s", u, ...note },
    holdTime,
  };
}

/** The first reading at or below nine tenths of the fall to the floor. */
function throughFall({ v }: Prepared, before: number, floorAt: number): number {
  const top = v[before] as number;
  const level = top - 0.9 * (top - (v[floorAt] as number));
  let k = before + 1;
  while (k < floorAt && (v[k] as number) > level) k++;
  return k;
}

function steepest(trace: Prepared, from: number, to: number, v: Float64Array): Detail {
  let value = 0;
  let dt = Number.NaN;
  for (let k = from + 1; k <= to; k++) {
    const step = (trace.t[k] as number) - (trace.t[k - 1] as number);
    const rate = ((v[k] as number) - (v[k - 1] as number)) / step;
    if (rate < value) [value, dt] = [rate, step];
  }
  if (Number.isNaN(dt)) return { value: null, unit: "V/s", note: "no fall between readings" };
  const u = (trace.noise_V * Math.SQRT2) / dt;
  const note = "steepest between two readings; the true edge may be steeper";
  return { value, unit: "V/s", u, note };
}

interface Recovery {
  readonly level: Detail;
  readonly time: (plateau: Level | null) => Detail;
}

/** The level at the end of the stretch after the release, and how long it took to get there. */
function recoveryOf(trace: Prepared, { after, released, loaded }: Squeeze): Recovery {
  const none = (note: string): Recovery => ({
    level: { value: null, unit: "V", note },
    time: () => ({ value: null, unit: "s", note }),
  });
  if (!released) return none("the trace ends under load: no release was seen");
  const n = after.to - after.from;
  if (n < 3) return none("too few readings after the release");
  const from = after.to - Math.max(2, Math.round(n / 5));
  const end = levelOf(trace, from, after.to);
  if (end === null) return none("too few readings after the release");
  const length_s = (trace.t[after.to - 1] as number) - (trace.t[after.from] as number);
  const rising = end.slope > 3 * end.uSlope && end.slope * length_s > 3 * end.u;
  const note = `still rising after ${length_s.toPrecision(3)} s: the level at the end of the trace`;
  return {
    level: { value: end.value, unit: "V", u: end.u, ...(rising && { note }) },
    time: (plateau) => recoveryTime(trace, { after, loaded }, plateau, end),
  };
}

/** Time from the release until the voltage stays within a tenth of the way to its end level. */
function recoveryTime(
  { t, v, interval_s }: Prepared,
  { after, loaded }: Pick<Squeeze, "after" | "loaded">,
  plateau: Level | null,
  end: Level,
): Detail {
  if (plateau === null) return { value: null, unit: "s", note: "no plateau to recover from" };
  const near = end.value - 0.1 * (end.value - plateau.value);
  let at = after.to - 1;
  while (at > after.from && (v[at - 1] as number) >= near) at--;
  const value = (t[at] as number) - (t[Math.max(0, loaded.to - 1)] as number);
  const note = "to within a tenth of the way to the level at the end";
  return { value, unit: "s", u: interval_s / Math.sqrt(6), note };
}

/** Baseline to plateau over the change of current: what the pack drops at the end of the squeeze. */
function dcResistance(
  trace: Prepared,
  squeeze: Squeeze,
  baseline: Level | null,
  plateau: Level | null,
  range: { from: number; to: number },
): Detail {
  const none = (note: string): Detail => ({ value: null, unit: "Ω", note });
  if (trace.i === null) return none("no current in the trace, and no known load");
  if (baseline === null || plateau === null) return none("no baseline or no plateau");
  const rest = currentOf(trace, squeeze.open.from, squeeze.open.to);
  const load = currentOf(trace, range.from, range.to);
  if (rest === null || load === null) return none("too few readings");
  const held_s = (trace.t[range.to - 1] as number) - (trace.t[squeeze.loaded.from] as number);
  const found = twoLoadResistance(
    {
      voltage_V: baseline.value,
      current_A: rest.value,
      uVoltage_V: baseline.u,
      uCurrent_A: rest.u,
    },
    { voltage_V: plateau.value, current_A: load.value, uVoltage_V: plateau.u, uCurrent_A: load.u },
  );
  return found.note ? found : { ...found, note: `after up to ${held_s.toPrecision(2)} s of load` };
}
