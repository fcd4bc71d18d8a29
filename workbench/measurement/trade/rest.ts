import { fitExponentials } from "../fit/exponentials.js";
import { theilSen } from "../fit/theil-sen.js";

type RestState = "at-rest" | "after-charge" | "after-load" | "unclear";

export interface RestReport {
  readonly state: RestState;
  /** Change of voltage, V/h: falling after a charge, rising after a load. */
  readonly drift_V_per_h: number;
  /** Where the voltage is heading, where the readings tell. */
  readonly settles_V: number | null;
}

/** A pack at rest drifts by no more than this share of its voltage in an hour: common practice, no source. */
const REST_PER_HOUR = 0.002;
const FEWEST = 6;

/**
 * Whether a pack is at rest: fresh off the charger its voltage falls, fresh off a load it rises,
 * and neither is its open-circuit voltage. Needs a trace at no load, better a minute than a second;
 * `resolution_V` is one count, below which no drift can be told.
 */
export function stateOfRest(
  time_s: Float64Array,
  voltage_V: Float64Array,
  resolution_V: number,
): RestReport {
  const n = time_s.length;
  const begin = time_s[0] ?? 0;
  const length_s = (time_s[n - 1] ?? begin) - begin;
  if (n < FEWEST || length_s <= 0) return { state: "unclear", drift_V_per_h: 0, settles_V: null };
  const t = time_s.map((x) => x - begin);
  const { slope } = theilSen(t, voltage_V);
  const fit = fitExponentials(t, voltage_V, 1);
  const settles_V = fit !== null && fit.terms.length > 0 ? fit.offset : null;
  const level = Math.abs(voltage_V[n - 1] as number);
  // Half a count over the whole trace is the least slope that the digits can show.
  const blind = resolution_V / 2 / length_s;
  const least = (REST_PER_HOUR * level) / 3600;
  return { state: stateFor(slope, least, blind), drift_V_per_h: slope * 3600, settles_V };
}

function stateFor(slope: number, least: number, blind: number): RestState {
  if (Math.abs(slope) > Math.max(least, blind)) return slope < 0 ? "after-charge" : "after-load";
  return blind > least ? "unclear" : "at-rest";
}
