import type { BenchCondition, Sighting, ToolModel } from "../models/model.js";
import type { Hypothesis } from "./hypotheses.js";
import type { Observation, Seen } from "./observation.js";
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
  const { model } = predictor.compiled;
  const sighting = model.sightings.find((one) => one.id === seen.sighting);
  if (sighting === undefined) return 1;
  const { follows } = sighting;
  const known = new Map<string, string>();
  if (follows !== undefined && seen.beside !== undefined) known.set(follows, seen.beside);
  const p = distribution(predictor, hypothesis, sighting, known);
  return Math.max(p[seen.value] ?? 0, 1e-6);
}

type Chances = Readonly<Record<string, number>>;
const NOTHING_SEEN: ReadonlyMap<string, string> = new Map();

/** Of each thing that may be seen, given the faults and what was seen already. */
export function distribution(
  predictor: Predictor,
  hypothesis: Hypothesis,
  sighting: Sighting,
  known = NOTHING_SEEN,
): Chances {
  const { sightings } = predictor.compiled.model;
  if (sighting.follows !== undefined) {
    const source = sightings.find(({ id }) => id === sighting.follows);
    if (source === undefined) return sighting.otherwise;
    const before = known.get(source.id);
    const chances = alone(predictor, hypothesis, source);
    if (before === undefined) return following(predictor, hypothesis, sighting, chances);
    return afterSeen(predictor, hypothesis, sighting, before, chances);
  }
  const own = alone(predictor, hypothesis, sighting);
  const follower = sightings.find(({ id, follows }) => follows === sighting.id && known.has(id));
  return follower === undefined ? own : leading(predictor, hypothesis, own, follower, known);
}

/** Who saw the first wrong sees what really is in the second. */
function afterSeen(
  predictor: Predictor,
  hypothesis: Hypothesis,
  sighting: Sighting,
  before: string,
  chances: Chances,
): Chances {
  const p = chances[before] ?? 0;
  const wrong = p > 0 ? Math.min(1, MISTAKE / 3 / p) : 1;
  const told = following(predictor, hypothesis, sighting, { [before]: 1 });
  const real = following(predictor, hypothesis, sighting, chances);
  return Object.fromEntries(
    sighting.values.map((value) => {
      const mixed = (1 - wrong) * (told[value] ?? 0) + wrong * (real[value] ?? 0);
      return [value, mixed];
    }),
  );
}

/** What follows shows the same, if no fault lies between. */
function following(
  predictor: Predictor,
  hypothesis: Hypothesis,
  sighting: Sighting,
  before: Chances,
): Chances {
  const broken = overridden(hypothesis, predictor, sighting);
  const chances: Record<string, number> = {};
  for (const [value, p] of Object.entries(before)) {
    for (const after of sighting.values) {
      const same = after === value ? SAME : (1 - SAME) / (sighting.values.length - 1);
      const here = broken === null || value === "no" ? same : (broken[after] ?? 0);
      chances[after] = (chances[after] ?? 0) + p * here;
    }
  }
  return chances;
}

/** What comes first, where what follows it was seen already (Bayes). */
function leading(
  predictor: Predictor,
  hypothesis: Hypothesis,
  own: Chances,
  follower: Sighting,
  known: ReadonlyMap<string, string>,
): Chances {
  const seen = known.get(follower.id) ?? "";
  const weighed = Object.entries(own).map(([value, p]): [string, number] => {
    const after = afterSeen(predictor, hypothesis, follower, value, own);
    return [value, p * (after[seen] ?? 0)];
  });
  const total = weighed.reduce((sum, [, p]) => sum + p, 0);
  return total > 0 ? Object.fromEntries(weighed.map(([value, p]) => [value, p / total])) : own;
}

/** How often the turning end is seen to do what the motor was seen to do. */
const SAME = 0.97;

function alone(predictor: Predictor, hypothesis: Hypothesis, sighting: Sighting): Chances {
  const condition = predictor.compiled.model.conditions.find((c) => c.id === sighting.condition);
  if (condition === undefined) return sighting.otherwise;
  if (!isFed(predictor, hypothesis, sighting, condition.condition))
    return sighting.fed?.otherwise ?? sighting.otherwise;
  const { ofManner } = sighting;
  if (ofManner && hypothesis.manners.some(({ manner }) => manner.id === ofManner.manner))
    return ofManner.p;
  if (sighting.from === "table")
    return overridden(hypothesis, predictor, sighting) ?? sighting.otherwise;
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

const besides = new WeakMap<Seen, Map<string, Seen>>();

/** Sightings that follow one another told of each other: the same object each time. */
export function linked(
  { sightings }: ToolModel,
  observations: readonly Observation[],
): Observation[] {
  const values = seenValues(observations);
  return observations.map((one) => {
    if (one.kind !== "seen") return one;
    const follows = sightings.find(({ id }) => id === one.sighting)?.follows;
    const beside = follows === undefined ? undefined : values.get(follows);
    if (beside === undefined) return one;
    const known = besides.get(one) ?? new Map<string, Seen>();
    besides.set(one, known);
    const made = known.get(beside) ?? { ...one, beside };
    known.set(beside, made);
    return made;
  });
}

/** What was seen, by sighting. */
export function seenValues(observations: readonly Observation[]): ReadonlyMap<string, string> {
  return new Map(
    observations.flatMap((one) => (one.kind === "seen" ? [[one.sighting, one.value]] : [])),
  );
}

function isFed(
  predictor: Predictor,
  hypothesis: Hypothesis,
  { fed }: Sighting,
  condition: BenchCondition,
): boolean {
  if (fed === undefined) return true;
  const target = { quantity: "voltage", red: fed.red, black: fed.black, condition } as const;
  return predictor.predict(target, hypothesis).mean >= fed.least_V;
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
): Chances | null {
  const { parts, elements } = compiled.model;
  for (const { part, mode, element, p } of sighting.overrides) {
    const there = hypothesis.faults.some(
      (fault) =>
        fault.mode.id === mode &&
        parts[fault.part]?.id === part &&
        (element === undefined ||
          fault.effects.some((effect) => elements[effect.element]?.id === element)),
    );
    if (there) return p;
  }
  return null;
}
