import type { Posterior } from "./infer.js";
import { oddsWords, observationWords } from "./words.js";

/** A reading that is not to be taken at its word. */
export interface Doubt {
  readonly observation: number;
  readonly suspicion: "bad-contact" | "wrong-point" | "reversed-leads";
  readonly probability: number;
  readonly words: string;
}

/** From this probability on a reading is told as doubtful. */
const WORTH_SAYING = 0.3;

/** Readings that contradict the others, and those taken with the leads the other way round. */
export function doubts(posterior: Posterior): Doubt[] {
  const { model } = posterior.predictor.compiled;
  return posterior.observations.flatMap((observation, i): Doubt[] => {
    const what = observationWords(model, observation);
    const probability = posterior.slips[i] ?? 0;
    if (probability >= WORTH_SAYING && observation.kind === "measured") {
      const nothing = observation.value === null || Math.abs(observation.value) < 0.1;
      const suspicion = nothing ? "bad-contact" : "wrong-point";
      const guess = nothing ? "the probes had no contact" : "a probe was on another point";
      const how = probability >= 0.5 ? "it contradicts the others: probably" : "perhaps";
      const words = `Not to be relied on; ${how} ${guess} (${oddsWords(probability)}). Repeat it: ${what}.`;
      return [{ observation: i, suspicion, probability, words }];
    }
    if (posterior.reversed[i] !== true) return [];
    const words = `The leads were the other way round; it counts as ${what}.`;
    return [{ observation: i, suspicion: "reversed-leads", probability: 1, words }];
  });
}
