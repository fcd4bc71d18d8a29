import { coverageFactor } from "../distributions.js";
import type { Detail } from "../watch.js";

/** A time constant is told only where its 95 % interval is within this share of it. */
const WIDEST = 0.1;
/** A relaxation must have this many readings within its time constant. */
const FEWEST_PER_TAU = 2;

/** A time constant, or why it is refused. */
export function timeConstant(
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
