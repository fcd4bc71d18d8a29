import type { Sighting } from "../models/model.js";
import type { Hypothesis } from "./hypotheses.js";
import type { Seen } from "./observation.js";
import type { Predictor } from "./predict.js";

/** Below this share of full speed a person says "it does not turn", above the second "it turns". */
const CRAWL = 0.04;
const SLOW = 0.6;
/** How often a person misses or mistakes what is there. */
const MISTAKE = 0.01;

/** Probability of what was seen, given the faults. */
export function sightingProbability(
  predictor: Predictor,
  hypothesis: Hypothesis,
  seen: Seen,
): number {
  const sighting = predictor.compiled.model.sightings.find((one) => one.id === seen.sighting);
  if (sighting === undefined) return 1;
  return Math.max(distribution(predictor, hypothesis, sighting)[seen.value] ?? 0, 1e-6);
}

export function distribution(
  predictor: Predictor,
  hypothesis: Hypothesis,
  sighting: Sighting,
): Readonly<Record<string, number>> {
  if (sighting.from === "table")
    return overridden(hypothesis, predictor, sighting) ?? sighting.otherwise;
  const condition = predictor.compiled.model.conditions.find((c) => c.id === sighting.condition);
  if (condition === undefined) return sighting.otherwise;
  const base = turning(
    predictor.speed(condition.condition, predictor.hypotheses.steady(hypothesis)),
  );
  const turns = base["no"] === undefined || base["no"] < 0.5;
  const changed = turns ? overridden(hypothesis, predictor, sighting) : null;
  if (changed !== null) return changed;
  if (hypothesis.fickle.length === 0 || !turns) return base;
  const shown = turning(predictor.speed(condition.condition, hypothesis));
  return (shown["no"] ?? 0) > 0.5 ? FITFUL : base;
}

/** Contact comes and goes while it should turn. */
const FITFUL = { yes: 0.2, slowly: 0.15, jerks: 0.4, no: 0.25 };

function turning(speed: number): Record<string, number> {
  const rest = MISTAKE / 3;
  const most = 1 - MISTAKE;
  if (speed <= CRAWL) return { yes: rest, slowly: rest, jerks: rest, no: most };
  const full = 1 / (1 + Math.exp(-(speed - SLOW) / 0.06));
  return { yes: most * full + rest, slowly: most * (1 - full) + rest, jerks: rest, no: rest };
}

function overridden(
  hypothesis: Hypothesis,
  { compiled }: Predictor,
  sighting: Sighting,
): Readonly<Record<string, number>> | null {
  for (const { part, mode, p } of sighting.overrides) {
    const there = hypothesis.faults.some(
      (fault) => fault.mode.id === mode && compiled.model.parts[fault.part]?.id === part,
    );
    if (there) return p;
  }
  return null;
}
