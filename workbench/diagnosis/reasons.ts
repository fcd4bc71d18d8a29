import { clearing } from "./clearing.js";
import type { Variant } from "./compile.js";
import { evidenceOf } from "./evidence.js";
import type { Hypothesis } from "./hypotheses.js";
import type { Explained, Posterior } from "./infer.js";
import type { FaultMode } from "../models/model.js";
import type { Observation } from "./observation.js";
import type { Predictor } from "./predict.js";
import { distribution } from "./sighting.js";
import { observationWords, oddsWords, valueWords } from "./words.js";

export type PartState = "unknown" | "cleared" | "suspect" | "condemned";

export interface PartFinding {
  readonly part: number;
  readonly state: PartState;
  /** Probability of being at fault. */
  readonly odds: number;
  /** Of a part that is not suspect: the share of its faults, by odds, that the readings rule out. */
  readonly tested: number;
  readonly reason: string | null;
}

/** A part is cleared when the readings rule out this share of its possible faults. */
const TESTED_SHARE = 0.9;
/** Stated limits: where a part counts as condemned, as suspect, as cleared. */
const LIMITS = { condemned: 0.95, suspect: 0.08, cleared: 0.05 } as const;
/** Odds from which on a part is condemned. */
export const CONDEMNED = LIMITS.condemned;

/** State and reason for every part, in the order of the path. */
export function findings(posterior: Posterior): PartFinding[] {
  return posterior.parts.map((odds, part) => finding(posterior, part, odds));
}

function finding(posterior: Posterior, part: number, odds: number): PartFinding {
  const best = posterior.explained[0];
  if (best === undefined || posterior.observations.length === 0) {
    return { part, state: "unknown", odds, tested: 0, reason: null };
  }
  if (odds >= LIMITS.suspect) {
    const state = odds >= LIMITS.condemned ? "condemned" : "suspect";
    return { part, state, odds, tested: 0, reason: against(posterior, part, state) };
  }
  const { tested, readings, untested } = clearing(posterior, best, part);
  const told = readings.map((reading) => words(posterior, reading)).join("; and ");
  if (odds < LIMITS.cleared && tested >= TESTED_SHARE && told !== "") {
    return { part, state: "cleared", odds, tested, reason: `Cleared: ${told}.` };
  }
  const open = untested.map((mode) => short(mode.words)).join(", ");
  const rest = open === "" ? `Its odds are still ${oddsWords(odds)}` : `Not tested: ${open}`;
  const reason = told === "" ? null : `Cleared in part: ${told}. ${rest}.`;
  return { part, state: "unknown", odds, tested: told === "" ? 0 : tested, reason };
}

function words({ predictor }: Posterior, observation: Observation): string {
  return observationWords(predictor.compiled.model, observation);
}

/** What speaks for the part being at fault: the reading that a sound part explains worst. */
function against(posterior: Posterior, part: number, state: "suspect" | "condemned"): string {
  const { predictor, observations } = posterior;
  const label = state === "condemned" ? "Condemned" : "Suspect";
  const [first, second] = modesOf(posterior, part);
  if (first === undefined) return label;
  const guilty = first.best;
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
  const also =
    second !== undefined && second.share > ALSO ? `; or ${short(second.mode.words)}` : "";
  const what = `${label} (${first.mode.words}${also})`;
  if (top.observation === null || top.gain < 1) return `${what}: no reading has tested it yet.`;
  const expected = expectation(predictor, sound, top.observation);
  return `${what}: ${words(posterior, top.observation)}; ${expected} if it were sound.`;
}

/** Another way to fail that has this share of the part's odds is told too. */
const ALSO = 0.2;

interface ModeShare {
  readonly mode: FaultMode;
  /** Of the part's probability of being at fault, 0 to 1. */
  readonly share: number;
  /** The likeliest explanation with it. */
  readonly best: Explained;
}

/** In which ways the part may have failed, the likeliest first. */
function modesOf({ explained, parts }: Posterior, part: number): ModeShare[] {
  const shares = new Map<FaultMode, ModeShare>();
  for (const one of explained) {
    const mode = one.hypothesis.faults.find((fault) => fault.part === part)?.mode;
    if (mode === undefined) continue;
    const known = shares.get(mode) ?? { mode, share: 0, best: one };
    shares.set(mode, { ...known, share: known.share + one.probability / (parts[part] ?? 1) });
  }
  return [...shares.values()].sort((a, b) => b.share - a.share);
}

/** "worn out" of "open: worn out": the words of a fault without what explains them. */
function short(words: string): string {
  return words.split(":")[0] ?? words;
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

function withFaults(
  { hypotheses }: Predictor,
  { manners, odds }: Hypothesis,
  faults: readonly Variant[],
): Hypothesis {
  return hypotheses.of(faults, manners, odds);
}

/** Log density of one observation by itself. */
function logOf(predictor: Predictor, hypothesis: Hypothesis, observation: Observation): number {
  return evidenceOf(predictor, observation).shown(hypothesis).alone;
}
