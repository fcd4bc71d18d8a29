import type { Probe, Sighting, ToolModel } from "../models/model.js";
import { isForbidden, isLookForbidden, lookCost_s, openedSoFar, probeCost_s } from "./cost.js";
import type { Restrictions } from "./cost.js";
import type { Hypothesis } from "./hypotheses.js";
import type { Candidate, Explained, Posterior } from "./infer.js";
import { expectedInformationBits } from "./core/information.js";
import type { Measured } from "./observation.js";
import { Forecast, outcomeClasses } from "./outcomes.js";
import type { Outcome } from "./outcomes.js";
import type { Target } from "./predict.js";
import { conditionKey } from "../models/conditions.js";
import { distribution, seenValues } from "./sighting.js";

/** A measurement to take, or something to look at. */
export type Ask =
  | {
      readonly kind: "measure";
      readonly probe: Probe;
      readonly target: Target;
      /** It was taken already and is in doubt. */
      readonly again?: boolean;
      /** What has to be done first for this probe was done for one before. */
      readonly ready?: boolean;
    }
  | { readonly kind: "see"; readonly sighting: Sighting };

export interface Proposal {
  readonly ask: Ask;
  readonly information_bits: number;
  readonly cost_s: number;
  readonly outcomes: readonly (Outcome | { readonly value: string })[];
  /** Per repair that may be needed, per outcome: probability of both together. */
  readonly joint: readonly (readonly number[])[];
  /** Per repair the candidate that needs it. */
  readonly candidates: readonly Candidate[];
}

/** Hypotheses that the proposal is computed from: so much of the probability, at most so many. */
const KEPT = { mass: 0.995, most: 160 };

export interface Stop {
  /** Done when the odds of any further fault than the certain ones are below this. */
  readonly furtherFault: number;
}
/** Where a run stops to look for further faults. */
export const DEFAULT_STOP: Stop = { furtherFault: 0.05 };

/** Probability that some part is at fault that is not among the parts of the first candidate. */
export function furtherFault(posterior: Posterior): number {
  const first = posterior.candidates[0]?.parts ?? [];
  return posterior.candidates.reduce(
    (sum, candidate) =>
      candidate.parts.every((part) => first.includes(part)) ? sum : sum + candidate.probability,
    0,
  );
}

/** Nothing more to learn: the first candidate is certain enough and no further fault is likely. */
export function isSettled(posterior: Posterior, stop: Stop = DEFAULT_STOP): boolean {
  const first = posterior.candidates[0];
  if (first === undefined || posterior.observations.length === 0) return false;
  return (
    first.probability >= 1 - 2 * stop.furtherFault && furtherFault(posterior) < stop.furtherFault
  );
}

/**
 * Less than this share of the most telling proposal is beside the point: it waits until the rest is
 * told, however cheap it is (the charger, while all points to the brushes).
 */
export const TELLING = 0.25;

/** All measurements that may be taken now, the one that tells most for its cost first. */
export function proposals(posterior: Posterior, restrictions: Restrictions = {}): Proposal[] {
  const found = weighed(posterior, open(posterior, restrictions));
  const most = found.reduce((top, one) => Math.max(top, one.information_bits), 0);
  const aside = (one: Proposal): number => (one.information_bits < TELLING * most ? 1 : 0);
  return found.sort(
    (a, b) => aside(a) - aside(b) || b.information_bits / b.cost_s - a.information_bits / a.cost_s,
  );
}

/** What each of these would tell, in their order; without those that would tell nothing. */
export function weighed<A extends Priced>(
  posterior: Posterior,
  asks: readonly A[],
): (Proposal & { readonly asked: A })[] {
  const kept = keep(posterior);
  return asks
    .map((asked) => ({ asked, ...weigh(posterior, kept, asked.ask, asked.cost_s) }))
    .filter((proposal) => proposal.information_bits > 0.002);
}

/** The likeliest explanations, enough of them to forecast with. */
export function keep({ explained }: Posterior): Explained[] {
  const kept: Explained[] = [];
  let mass = 0;
  for (const one of explained) {
    if (mass >= KEPT.mass || kept.length >= KEPT.most) break;
    kept.push(one);
    mass += one.probability;
  }
  return kept;
}

/** A reading that is this likely to be a slip may be asked for again. */
const IN_DOUBT = 0.1;

export interface Priced {
  readonly ask: Ask;
  readonly cost_s: number;
}

/** What has not been asked yet, is allowed, and what it costs from here. */
function open(posterior: Posterior, restrictions: Restrictions): Priced[] {
  const { predictor, observations } = posterior;
  const { model } = predictor.compiled;
  const opened = openedSoFar(model, observations);
  const measured = observations.filter((one) => one.kind === "measured");
  const last = measured.at(-1)?.condition ?? null;
  const done = new Map(measured.map((one) => [askKey(one), observations.indexOf(one)]));
  const seen = new Set(observations.flatMap((one) => (one.kind === "seen" ? [one.sighting] : [])));
  const conditions = new Map(model.conditions.map((one) => [one.id, one.condition]));
  const prepared = preparedSoFar(model, measured);
  const measures = model.probes.flatMap((probe): Priced[] => {
    const condition = conditions.get(probe.condition);
    if (condition === undefined) return [];
    const target = { ...probe, condition };
    const taken = done.get(askKey(target));
    const again = taken !== undefined && (posterior.slips[taken] ?? 0) >= IN_DOUBT;
    if (taken !== undefined && !again) return [];
    if (isForbidden(probe, condition, opened, restrictions)) return [];
    const ready = probe.first === undefined || prepared.has(probe.first);
    const cost_s = probeCost_s(model, probe, condition, opened, last) + (ready ? 0 : PREPARE_S);
    return [{ ask: { kind: "measure", probe, target, again, ready }, cost_s }];
  });
  const sights = model.sightings.flatMap((sighting): Priced[] => {
    const condition = conditions.get(sighting.condition);
    if (seen.has(sighting.id)) return [];
    if (condition !== undefined && isLookForbidden(condition, opened, restrictions)) return [];
    return [{ ask: { kind: "see", sighting }, cost_s: lookCost_s(sighting, opened) }];
  });
  return [...measures, ...sights];
}

/** Seconds to take two leads off, or what else has to be done first: common practice, no source. */
const PREPARE_S = 30;

/** What had to be done before readings that were taken. */
function preparedSoFar({ probes }: ToolModel, measured: readonly Measured[]): ReadonlySet<string> {
  const points = ({ quantity, red, black }: Pick<Probe, "quantity" | "red" | "black">): string =>
    `${quantity} ${[red, black].sort().join(" ")}`;
  const taken = new Set(measured.map((one) => points(one)));
  return new Set(
    probes.flatMap((probe) =>
      probe.first !== undefined && taken.has(points(probe)) ? [probe.first] : [],
    ),
  );
}

function askKey({ quantity, red, black, condition }: Target): string {
  return `${quantity} ${[red, black].sort().join(" ")} ${conditionKey(condition)}`;
}

function weigh(
  posterior: Posterior,
  kept: readonly Explained[],
  ask: Ask,
  cost_s: number,
): Proposal {
  const outcomes =
    ask.kind === "measure"
      ? outcomeClasses(ask.target)
      : ask.sighting.values.map((value) => ({ value }));
  const forecast = forecastOf(posterior, ask);
  const rows = new Map<string, { candidate: Candidate; row: number[] }>();
  const owner = owners(posterior);
  for (const one of kept) {
    const candidate = owner.get(one);
    if (candidate === undefined) continue;
    const key = actionName(one.hypothesis);
    const known = rows.get(key);
    const row = known?.row ?? new Array<number>(outcomes.length).fill(0);
    forecast(one).forEach((p, o) => (row[o] = (row[o] ?? 0) + p * one.probability));
    if (known === undefined) rows.set(key, { candidate, row });
  }
  const joint = [...rows.values()].map(({ row }) => row);
  const information_bits = expectedInformationBits(joint);
  const candidates = [...rows.values()].map(({ candidate }) => candidate);
  return { ask, information_bits, cost_s, outcomes, joint, candidates };
}

/** Two explanations differ where they lead to another repair: other parts, or a charge instead. */
function actionName({ partsName, faults }: Hypothesis): string {
  return `${partsName}/${faults.map(({ mode }) => mode.mend ?? "").join("")}`;
}

/** Per hypothesis the probability of each outcome. */
function forecastOf(
  { predictor, observations }: Posterior,
  ask: Ask,
): (one: Explained) => readonly number[] {
  if (ask.kind === "measure") {
    const forecast = new Forecast(predictor, ask.target);
    return (one) => forecast.of(one);
  }
  const { sighting } = ask;
  const known = seenValues(observations);
  return ({ hypothesis }) => {
    const p = distribution(predictor, hypothesis, sighting, known);
    return sighting.values.map((value) => p[value] ?? 0);
  };
}

const ownerCache = new WeakMap<Posterior, Map<Explained, Candidate>>();

function owners(posterior: Posterior): Map<Explained, Candidate> {
  const known = ownerCache.get(posterior);
  if (known !== undefined) return known;
  const made = new Map(
    posterior.candidates.flatMap((c) => c.explained.map((one) => [one, c] as const)),
  );
  ownerCache.set(posterior, made);
  return made;
}
