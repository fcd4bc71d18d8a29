import { minimalHittingSets, minimalSets } from "./core/sets.js";
import type { Restrictions } from "./cost.js";
import { doubts } from "./doubts.js";
import type { Doubt } from "./doubts.js";
import { infer, waysOf } from "./infer.js";
import type { Candidate, Posterior } from "./infer.js";
import { askWords, meanings } from "./meaning.js";
import type { Meaning } from "./meaning.js";
import { furtherFault, isSettled, proposals } from "./next-probe.js";
import type { Observation } from "./observation.js";
import type { ToolModel } from "../models/model.js";
import { predictorOf } from "./power-path.js";
import { findings } from "./reasons.js";
import type { PartFinding, PartState } from "./reasons.js";

/** What `leadhand diagnose --json` prints. Field names are a published format. */
export interface Report {
  readonly kind: string;
  /** The first candidate is certain and no further fault is likely. */
  readonly settled: boolean;
  /** Odds that something is at fault beside the first candidate's parts. */
  readonly furtherFault: number;
  readonly candidates: readonly ReportedCandidate[];
  readonly parts: readonly ReportedPart[];
  readonly cleared: readonly { readonly part: string; readonly reason: string }[];
  /** Minimal sets of parts that cannot all be sound (conflicts). */
  readonly conflicts: readonly (readonly string[])[];
  /** Minimal sets of parts whose fault explains everything (minimal candidates). */
  readonly explanations: readonly (readonly string[])[];
  readonly doubts: readonly Doubt[];
  /** null when settled or when nothing that may be measured would tell more. */
  readonly next: ReportedProbe | null;
}

interface ReportedCandidate {
  readonly parts: readonly string[];
  readonly faults: readonly {
    readonly part: string;
    readonly mode: string;
    readonly words: string;
  }[];
  /** Probability of exactly this set of parts, 0 to 1. */
  readonly odds: number;
  readonly reason: string;
}

interface ReportedPart {
  readonly part: string;
  readonly label: string;
  readonly state: PartState;
  readonly odds: number;
  /** Of a part that is not suspect: the share of its faults, by odds, that the readings rule out. */
  readonly tested: number;
  readonly reason: string | null;
}

interface ReportedProbe {
  readonly ask: "measure" | "look";
  readonly quantity: "voltage" | "resistance" | null;
  readonly unit: "V" | "Ω" | null;
  readonly red: string | null;
  readonly black: string | null;
  readonly condition: string;
  readonly observation: string | null;
  readonly words: string;
  readonly information_bits: number;
  readonly cost_s: number;
  readonly outcomes: readonly Meaning[];
}

/** Candidates less likely than this are not listed, unless there are fewer than three. */
const LISTED = { above: 0.005, least: 3, most: 12 };
/**
 * A set of parts explains the readings when its fit is within this many nats of the best: less
 * than it costs to call a reading a slip, so that readings are taken at their word here.
 */
const EXPLAINS = 5;

export function report(
  model: ToolModel,
  observations: readonly Observation[],
  restrictions: Restrictions = {},
  stopBelow = 0.05,
): Report {
  const posterior = infer(predictorOf(model), observations);
  const found = findings(posterior);
  const stop = { furtherFault: stopBelow };
  const settled = isSettled(posterior, stop);
  const explanations = explaining(posterior);
  const names = (parts: readonly number[]): string[] => parts.map((part) => id(model, part));
  return {
    kind: model.kind,
    settled,
    furtherFault: round(furtherFault(posterior)),
    candidates: listed(posterior).map((one) => candidateOf(posterior, found, one)),
    parts: found.map((one) => partOf(model, one)),
    cleared: found.flatMap(({ part, state, reason }) =>
      state === "cleared" && reason !== null ? [{ part: id(model, part), reason }] : [],
    ),
    conflicts: explanations.some((set) => set.length === 0)
      ? []
      : minimalHittingSets(explanations).map(names),
    explanations: explanations.map(names),
    doubts: doubts(posterior),
    next: settled ? null : nextOf(posterior, restrictions),
  };
}

function listed({ candidates }: Posterior): readonly Candidate[] {
  return candidates
    .filter((one, i) => i < LISTED.least || one.probability >= LISTED.above)
    .slice(0, LISTED.most);
}

function candidateOf(
  { predictor }: Posterior,
  found: readonly PartFinding[],
  candidate: Candidate,
): ReportedCandidate {
  const { model } = predictor.compiled;
  const [likeliest] = waysOf(candidate);
  const faults = likeliest?.hypothesis.faults ?? [];
  const reasons = candidate.parts.flatMap((part) => found[part]?.reason ?? []);
  return {
    parts: candidate.parts.map((part) => id(model, part)),
    faults: faults.map(({ part, mode }) => ({
      part: id(model, part),
      mode: mode.id,
      words: `${model.parts[part]?.label ?? ""}: ${mode.words}`,
    })),
    odds: round(candidate.probability),
    reason: reasons.length === 0 ? "No reading speaks against a sound tool." : reasons.join(" "),
  };
}

function partOf(
  model: ToolModel,
  { part, state, odds, tested, reason }: PartFinding,
): ReportedPart {
  const label = model.parts[part]?.label ?? "";
  return { part: id(model, part), label, state, odds: round(odds), tested: round(tested), reason };
}

/** Minimal sets of parts that explain the readings well, whatever their prior odds. */
function explaining({ candidates }: Posterior): (readonly number[])[] {
  const rated = candidates.map((candidate) => ({
    parts: candidate.parts,
    fit: candidate.explained.reduce((m, one) => Math.max(m, one.fit.logLikelihood), -Infinity),
  }));
  const best = rated.reduce((most, one) => Math.max(most, one.fit), -Infinity);
  return minimalSets(rated.filter((one) => one.fit > best - EXPLAINS).map((one) => one.parts));
}

function nextOf(posterior: Posterior, restrictions: Restrictions): ReportedProbe | null {
  const best = proposals(posterior, restrictions)[0];
  if (best === undefined) return null;
  const { model } = posterior.predictor.compiled;
  const { ask } = best;
  const probe = ask.kind === "measure" ? ask.probe : null;
  return {
    ask: ask.kind === "measure" ? "measure" : "look",
    quantity: probe?.quantity ?? null,
    unit: probe === null ? null : probe.quantity === "voltage" ? "V" : "Ω",
    red: probe?.red ?? null,
    black: probe?.black ?? null,
    condition: ask.kind === "measure" ? ask.probe.condition : ask.sighting.condition,
    observation: ask.kind === "see" ? ask.sighting.id : null,
    words: askWords(model, best),
    information_bits: round(best.information_bits),
    cost_s: best.cost_s,
    outcomes: meanings(model, best).map((m) => ({ ...m, probability: round(m.probability) })),
  };
}

function id(model: ToolModel, part: number): string {
  return model.parts[part]?.id ?? "";
}

/** More digits than these would only pretend. */
function round(value: number): number {
  return Number(value.toPrecision(4));
}
