import type { BenchCondition } from "../models/model.js";

/** One reading at two named points, the red lead first. */
export interface Measured {
  readonly kind: "measured";
  readonly quantity: "voltage" | "resistance";
  readonly red: string;
  readonly black: string;
  readonly condition: BenchCondition;
  /** Volts or ohms; null: over range, on ohms an open circuit. */
  readonly value: number | null;
  /** Standard uncertainty of the meter in the same unit; null: a common hand-held meter's. */
  readonly u: number | null;
  /** The zero or open was proved (probes re-seated, meter shown a live source). */
  readonly proved: boolean;
  /** Several samples: whether they jumped about; null where there was only one. */
  readonly unsteady: boolean | null;
}

/** Something seen or felt. */
export interface Seen {
  readonly kind: "seen";
  readonly sighting: string;
  readonly value: string;
  /** What the sighting that it follows showed; absent where nobody looked. */
  readonly beside?: string;
}

export type Observation = Measured | Seen;
