/**
 * A trigger with electronics chops the supply: the meter on DC volts shows the average. For an
 * ideal chopper average = duty · supply and true r.m.s. = √duty · supply; with a motor that coasts
 * between pulses the average is higher, and the duty told here is an upper bound.
 */
export interface Chopped {
  /** 0 to 1. */
  readonly duty: number;
  /** What a true r.m.s. meter would show on AC + DC, and an AC-coupled one. */
  readonly rms_V: number;
  readonly acRms_V: number;
}

export function choppedFromAverage(average_V: number, supply_V: number): Chopped {
  const duty = Math.min(1, Math.max(0, average_V / supply_V));
  const rms_V = Math.sqrt(duty) * supply_V;
  return { duty, rms_V, acRms_V: Math.sqrt(duty * (1 - duty)) * supply_V };
}

/** The duty that a true r.m.s. AC + DC reading means: the square of its share of the supply. */
export function dutyFromRms(rms_V: number, supply_V: number): number {
  return Math.min(1, (rms_V / supply_V) ** 2);
}
