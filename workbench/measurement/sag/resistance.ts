import type { Detail } from "../watch.js";

/** Voltage and current at one load, with standard uncertainties. */
export interface LoadPoint {
  readonly voltage_V: number;
  readonly current_A: number;
  readonly uVoltage_V?: number;
  readonly uCurrent_A?: number;
}

/**
 * DC resistance from two loads, (U1 − U2)/(I2 − I1): IEC 61960-3 (0.2 It for 10 s, then 1 It for
 * 1 s) and, with other currents and times, IEC 61951. The times are the caller's: the longer the
 * second load, the more relaxation is in the result.
 */
export function twoLoadResistance(light: LoadPoint, heavy: LoadPoint): Detail {
  const current = heavy.current_A - light.current_A;
  if (current === 0) return { value: null, unit: "Ω", note: "both loads draw the same current" };
  const value = (light.voltage_V - heavy.voltage_V) / current;
  const u =
    Math.hypot(
      light.uVoltage_V ?? 0,
      heavy.uVoltage_V ?? 0,
      value * Math.hypot(light.uCurrent_A ?? 0, heavy.uCurrent_A ?? 0),
    ) / Math.abs(current);
  return { value, unit: "Ω", u };
}
