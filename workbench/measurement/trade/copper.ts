import { propagate } from "../uncertainty.js";
import type { Estimate } from "../uncertainty.js";

/** Resistivity of annealed copper at 20 °C, Ω·mm²/m, and its coefficient (IEC 60028; from memory). */
const RHO_20 = 1 / 58;
const ALPHA_20 = 0.00393;

/** Temperatures below zero °C at which a conductor's straight line would reach no resistance. */
const ZERO_POINT = { copper: 235, aluminium: 225 } as const;
type WindingMetal = keyof typeof ZERO_POINT;

/**
 * Winding temperature from its resistance (IEC 60034-1, resistance method; constants from memory):
 * (θ2 + k)/(θ1 + k) = R2/R1. Temperatures in °C.
 */
export function windingTemperature(
  cold: { readonly resistance: Estimate; readonly temperature_degC: Estimate },
  hot: Estimate,
  metal: WindingMetal = "copper",
): Estimate {
  const k = ZERO_POINT[metal];
  return propagate(
    ([r1 = 0, t1 = 0, r2 = 0]) => (r2 / r1) * (t1 + k) - k,
    [cold.resistance, cold.temperature_degC, hot],
  );
}

/** A copper resistance as it would be at another temperature. */
function copperAt(resistance: number, from_degC: number, to_degC: number): number {
  const share = (t: number): number => 1 + ALPHA_20 * (t - 20);
  return (resistance * share(to_degC)) / share(from_degC);
}

/** DC resistance of a round or stranded copper lead from its length and section. */
export function leadResistance(length_m: number, section_mm2: number, at_degC = 20): number {
  return copperAt((RHO_20 * length_m) / section_mm2, 20, at_degC);
}

/** Section of an American wire gauge number: d = 0.127 mm · 92^((36 − n)/39) (ASTM B258). */
export function awgSection_mm2(gauge: number): number {
  const diameter_mm = 0.127 * 92 ** ((36 - gauge) / 39);
  return (Math.PI / 4) * diameter_mm ** 2;
}

/**
 * IEC 60228:2004, Tables 1 to 3, as read in agreeing reprints: most resistance at 20 °C that plain
 * copper conductors of a nominal section may have, Ω/km. Class 1 solid and 2 stranded, class 5
 * flexible.
 */
const MOST_OHM_PER_KM: Readonly<Record<number, readonly [fixed: number, flexible: number]>> = {
  0.5: [36.0, 39.0],
  0.75: [24.5, 26.0],
  1: [18.1, 19.5],
  1.5: [12.1, 13.3],
  2.5: [7.41, 7.98],
  4: [4.61, 4.95],
  6: [3.08, 3.3],
  10: [1.83, 1.91],
  16: [1.15, 1.21],
};

/** What a sound lead may measure at most, ohms; null for a section that the table does not have. */
export function soundLeadMost_ohm(
  length_m: number,
  section_mm2: number,
  strand: "fixed" | "flexible",
  at_degC = 20,
): number | null {
  const row = MOST_OHM_PER_KM[section_mm2];
  if (row === undefined) return null;
  return copperAt((row[strand === "fixed" ? 0 : 1] * length_m) / 1000, 20, at_degC);
}
