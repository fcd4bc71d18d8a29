import { propagate } from "../uncertainty.js";
import type { Estimate } from "../uncertainty.js";

/** What a bench measures on a brushed motor with permanent magnets. */
export interface MotorReadings {
  readonly supply_V: Estimate;
  readonly resistance_ohm: Estimate;
  readonly noLoadCurrent_A: Estimate;
  readonly noLoadSpeed_rad_s: Estimate;
}

export interface MotorConstants {
  /** Back-emf constant, V·s/rad; in SI the torque constant in N·m/A is the same number. */
  readonly emfConstant: Estimate;
  readonly stallCurrent_A: Estimate;
  readonly stallTorque_N_m: Estimate;
  /** At the current √(I0·Is): (1 − √(I0/Is))². */
  readonly bestEfficiency: Estimate;
}

/**
 * The constants of the linear motor model V = I·R + Ke·ω (standard text results): Is = V/R,
 * Ke = (V − I0·R)/ω0.
 */
export function motorConstants(readings: MotorReadings): MotorConstants {
  const inputs = [
    readings.supply_V,
    readings.resistance_ohm,
    readings.noLoadCurrent_A,
    readings.noLoadSpeed_rad_s,
  ];
  return {
    emfConstant: propagate(([v = 0, r = 0, i0 = 0, w = 0]) => (v - i0 * r) / w, inputs),
    stallCurrent_A: propagate(([v = 0, r = 0]) => v / r, inputs),
    stallTorque_N_m: propagate(
      ([v = 0, r = 0, i0 = 0, w = 0]) => (((v - i0 * r) / w) * v) / r,
      inputs,
    ),
    bestEfficiency: propagate(
      ([v = 0, r = 0, i0 = 0]) => (1 - Math.sqrt((i0 * r) / v)) ** 2,
      inputs,
    ),
  };
}
