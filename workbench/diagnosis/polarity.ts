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
  const straight = observations.map((observation) => straightened(predictor, observation));
  return {
    reversed: straight.map((observation, i) => observation !== observations[i]),
    observations: straight,
  };
}

const remembered = new WeakMap<Predictor, WeakMap<Observation, Observation>>();

/** The same object for the same observation each time; itself where it needs no straightening. */
function straightened(predictor: Predictor, observation: Observation): Observation {
  const known = remembered.get(predictor) ?? new WeakMap<Observation, Observation>();
  remembered.set(predictor, known);
  const found = known.get(observation);
  if (found !== undefined) return found;
  const turned = observation.kind === "measured" && isReversed(predictor, observation);
  const made = turned ? { ...observation, value: -(observation.value ?? 0) } : observation;
  known.set(observation, made);
  return made;
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
