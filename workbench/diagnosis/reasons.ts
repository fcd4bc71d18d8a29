import type { Variant } from "./compile.js";
import { evidenceOf } from "./evidence.js";
import type { Hypothesis } from "./hypotheses.js";
import type { Explained, Posterior } from "./infer.js";
import type { Observation } from "./observation.js";
import type { Predictor } from "./predict.js";
import { distribution } from "./sighting.js";
import { observationWords, valueWords } from "./words.js";

export type PartState = "unknown" | "cleared" | "suspect" | "condemned";

export interface PartFinding {
  readonly part: number;
  readonly state: PartState;
  /** Probability of being at fault. */
  readonly odds: number;
  readonly reason: string | null;
}

/** Stated limits: where a part counts as condemned, as suspect, as cleared. */
const LIMITS = { condemned: 0.95, suspect: 0.08, cleared: 0.05 } as const;
/** A reading speaks against a fault when it is this many times likelier without it (as a log). */
const SPEAKS = Math.log(20);
/** A part is tested when readings speak against this share of its possible faults. */
const TESTED_SHARE = 0.9;

/** State and reason for every part, in the order of the path. */
export function findings(posterior: Posterior): PartFinding[] {
  return posterior.parts.map((odds, part) => finding(posterior, part, odds));
}

function finding(posterior: Posterior, part: number, odds: number): PartFinding {
  const best = posterior.explained[0];
  if (best === undefined || posterior.observations.length === 0) {
    return { part, state: "unknown", odds, reason: null };
  }
  if (odds >= LIMITS.suspect) {
    const state = odds >= LIMITS.condemned ? "condemned" : "suspect";
    return { part, state, odds, reason: against(posterior, part, state) };
  }
  const tested = clearing(posterior, best, part);
  if (odds >= LIMITS.cleared || tested.share < TESTED_SHARE || tested.reading === null) {
    return { part, state: "unknown", odds, reason: null };
  }
  return { part, state: "cleared", odds, reason: `Cleared: ${words(posterior, tested.reading)}.` };
}

function words({ predictor }: Posterior, observation: Observation): string {
  return observationWords(predictor.compiled.model, observation);
}

/** What speaks for the part being at fault: the reading that a sound part explains worst. */
function against(posterior: Posterior, part: number, state: "suspect" | "condemned"): string {
  const { predictor, observations } = posterior;
  const guilty = posterior.explained.find((one) => has(one.hypothesis, part));
  const label = state === "condemned" ? "Condemned" : "Suspect";
  if (guilty === undefined) return label;
  const fault = guilty.hypothesis.faults.find((one) => one.part === part);
  const sound = withFaults(
    predictor,
    guilty.hypothesis,
    guilty.hypothesis.faults.filter((f) => f !== fault),
  );
  const rated: { observation: Observation; gain: number }[] = observations.map((observation) => ({
    observation,
    gain: logOf(predictor, guilty.hypothesis, observation) - logOf(predictor, sound, observation),
  }));
  const best = (list: typeof rated): typeof NO_READING =>
    list.reduce((a, b) => (b.gain > a.gain ? b : a), NO_READING);
  // A figure convinces more than what somebody saw.
  const figure = best(rated.filter((one) => one.observation.kind === "measured"));
  const top = figure.gain > 1.5 ? figure : best(rated);
  const what = `${label} (${fault?.mode.words ?? "at fault"})`;
  if (top.observation === null || top.gain < 1) return `${what}: no reading has tested it yet.`;
  const expected = expectation(predictor, sound, top.observation);
  return `${what}: ${words(posterior, top.observation)}; ${expected} if it were sound.`;
}

const NO_READING: { observation: Observation | null; gain: number } = {
  observation: null,
  gain: 0,
};

function expectation(
  predictor: Predictor,
  hypothesis: Hypothesis,
  observation: Observation,
): string {
  if (observation.kind === "measured") {
    const { mean } = predictor.predict(observation, hypothesis);
    return `about ${valueWords(observation.quantity, mean)}`;
  }
  const sighting = predictor.compiled.model.sightings.find((s) => s.id === observation.sighting);
  if (sighting === undefined) return "something else";
  const entries = Object.entries(distribution(predictor, hypothesis, sighting));
  return `"${entries.reduce((a, b) => (b[1] > a[1] ? b : a), ["?", 0])[0]}"`;
}

interface Clearing {
  /** Share of the part's possible faults, by odds, that some reading speaks against. */
  readonly share: number;
  readonly reading: Observation | null;
}

/** Adds each fault of the part to the best explanation and asks which readings speak against it. */
function clearing({ predictor, observations }: Posterior, best: Explained, part: number): Clearing {
  const variants = predictor.compiled.variants.filter((variant) => variant.part === part);
  const total = variants.reduce((sum, variant) => sum + variant.odds, 0);
  const base = observations.map((o) => logOf(predictor, best.hypothesis, o));
  const votes = observations.map(() => 0);
  let refuted = 0;
  for (const variant of variants) {
    const gains = observations.map(
      (o, i) => (base[i] ?? 0) - logOf(predictor, plus(predictor, best.hypothesis, variant), o),
    );
    if (Math.max(...gains) > SPEAKS) refuted += variant.odds;
    gains.forEach((gain, i) => {
      votes[i] = (votes[i] ?? 0) + variant.odds * Math.min(10, Math.max(0, gain));
    });
  }
  const top = votes.reduce((most, vote, i) => (vote > (votes[most] ?? 0) ? i : most), 0);
  return { share: refuted / total, reading: observations[top] ?? null };
}

function plus(predictor: Predictor, hypothesis: Hypothesis, variant: Variant): Hypothesis {
  const others = hypothesis.faults.filter((fault) => fault.part !== variant.part);
  return withFaults(
    predictor,
    hypothesis,
    [...others, variant].sort((a, b) => a.index - b.index),
  );
}

function withFaults(
  { hypotheses }: Predictor,
  { manners, odds }: Hypothesis,
  faults: readonly Variant[],
): Hypothesis {
  return hypotheses.of(faults, manners, odds);
}

function has({ faults }: Hypothesis, part: number): boolean {
  return faults.some((fault) => fault.part === part);
}

/** Log density of one observation by itself. */
function logOf(predictor: Predictor, hypothesis: Hypothesis, observation: Observation): number {
  return evidenceOf(predictor, observation).shown(hypothesis).alone;
}
