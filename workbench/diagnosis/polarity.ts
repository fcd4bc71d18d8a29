import type { Observation } from "./observation.js";
import type { Predictor } from "./predict.js";

/** Volts that are surely not noise about zero. */
const CLEAR_V = 0.2;

export interface Straightened {
  readonly observations: readonly Observation[];
  /** Per observation: the leads were the other way round. */
  readonly reversed: readonly boolean[];
}

/**
 * A voltage of a sign that neither the sound tool nor any single fault gives was taken with the
 * leads the other way round. It counts with the right sign, and the report says so.
 */
export function straighten(
  predictor: Predictor,
  observations: readonly Observation[],
): Straightened {
  const reversed = observations.map((observation) => isReversed(predictor, observation));
  return {
    reversed,
    observations: observations.map((observation, i) =>
      reversed[i] === true && observation.kind === "measured" && observation.value !== null
        ? { ...observation, value: -observation.value }
        : observation,
    ),
  };
}

function isReversed(predictor: Predictor, observation: Observation): boolean {
  if (observation.kind !== "measured" || observation.quantity !== "voltage") return false;
  const value = observation.value ?? 0;
  if (Math.abs(value) < CLEAR_V) return false;
  const column = predictor.column(observation);
  const means = predictor.singles.map(
    (one) => column.options(one)[0].prediction.mean * Math.sign(value),
  );
  return means.every((mean) => mean < CLEAR_V / 2) && means.some((mean) => mean < -CLEAR_V);
}
