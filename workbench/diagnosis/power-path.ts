import type { PowerPath } from "../contract/events.js";
import type { ToolModel } from "../models/model.js";
import { compile } from "./compile.js";
import type { Restrictions } from "./cost.js";
import { infer } from "./infer.js";
import type { Posterior } from "./infer.js";
import { askWords, meanings } from "./meaning.js";
import { isSettled, proposals } from "./next-probe.js";
import type { Observation } from "./observation.js";
import { Predictor } from "./predict.js";
import { findings } from "./reasons.js";
import { oddsWords } from "./words.js";

/** Predictors remember what they solved; one per model for as long as the model is in use. */
const predictors = new WeakMap<ToolModel, Predictor>();

export function predictorOf(model: ToolModel): Predictor {
  const predictor = predictors.get(model) ?? new Predictor(compile(model));
  predictors.set(model, predictor);
  return predictor;
}

/** The power path as the window draws it, from everything observed so far. */
export function powerPath(
  model: ToolModel,
  observations: readonly Observation[],
  restrictions: Restrictions = {},
): PowerPath {
  const posterior = infer(predictorOf(model), observations);
  return {
    parts: findings(posterior).map(({ part, state, odds, tested, reason }) => ({
      id: model.parts[part]?.id ?? "",
      label: model.parts[part]?.label ?? "",
      state,
      odds: observations.length === 0 ? null : odds,
      tested,
      reason,
    })),
    points: model.points.map(({ id, label, after }) => ({ id, label, after })),
    next: nextOf(model, posterior, restrictions),
  };
}

function nextOf(
  model: ToolModel,
  posterior: Posterior,
  restrictions: Restrictions,
): PowerPath["next"] {
  if (isSettled(posterior)) return null;
  // Both hands hold probes: the path asks for measurements only, never for a look.
  const best = proposals(posterior, restrictions).find(({ ask }) => ask.kind === "measure");
  if (best?.ask.kind !== "measure") return null;
  const { probe } = best.ask;
  return {
    red: probe.red,
    black: probe.black,
    words: askWords(model, best),
    tells: meanings(model, best).map(
      ({ outcome, probability, words }) => `${outcome} (${oddsWords(probability)}): ${words}`,
    ),
  };
}
