import type { BenchCondition, Probe, ToolModel } from "../../models/model.js";
import { isForbidden, openedSoFar, probeCost_s } from "../cost.js";
import type { Restrictions } from "../cost.js";
import type { Posterior } from "../infer.js";
import { conditionKey } from "../../models/conditions.js";
import { askWords } from "../meaning.js";
import { placeWords } from "../words.js";
import { keep, proposals } from "../next-probe.js";
import { Forecast, classOf } from "../outcomes.js";

/** What a held reading shows, and what else is known of the moment it was taken in. */
export interface HeldReading {
  readonly quantity: "voltage" | "resistance";
  /** Volts or ohms; null: over range on ohms. */
  readonly value: number | null;
  /** Where the probes have been all the while, so that only the trigger can differ; null: not known. */
  readonly from: Place | null;
  /** Nothing shows on the probes: a dead circuit, if they are on one. */
  readonly dead: boolean;
}

type Place = Pick<Match, "probe" | "condition">;

/** A place that the probes may be at, with how likely that is. */
export interface Match {
  readonly probe: Probe;
  readonly condition: BenchCondition;
  /** What is to be done to measure there, and the place alone. */
  readonly words: string;
  readonly place: string;
  /** Among all places of the model that this dial position can measure, 0 to 1. */
  readonly probability: number;
}

/** A technician follows the plan or the proposal more often than not; what was measured is seldom repeated. */
const WEIGHT = { planned: 3, proposed: 2, open: 1, done: 0.3 };
/** What takes this long from the present state of the bench is as likely as not, seconds. */
const AT_HAND_S = 12;

/**
 * Where the probes may be, from what they show: how well each place predicts the reading, given
 * everything read so far, and how much would have had to be done to get there. The dial leaves out
 * what it cannot be, and so does a reading that changed under probes that stayed where they were.
 * `planned`: what the plan would measure next.
 */
export function matchReading(
  posterior: Posterior,
  held: HeldReading,
  restrictions: Restrictions = {},
  planned: Pick<Probe, "quantity" | "red" | "black"> | null = null,
): Match[] {
  const { predictor, observations } = posterior;
  const { model } = predictor.compiled;
  const opened = openedSoFar(model, observations);
  const kept = keep(posterior);
  const measured = observations.filter((one) => one.kind === "measured");
  const last = measured.at(-1)?.condition ?? null;
  const open = proposals(posterior, restrictions).flatMap(({ ask }) =>
    ask.kind === "measure" ? [ask.probe] : [],
  );
  const probes = held.from === null ? model.probes : triggered(model, held.from);
  const rated = probes.flatMap((probe): Match[] => {
    const condition = model.conditions.find(({ id }) => id === probe.condition)?.condition;
    if (condition === undefined || probe.quantity !== held.quantity) return [];
    if (isForbidden(probe, condition, opened, restrictions)) return [];
    const target = { ...probe, condition };
    const forecast = new Forecast(predictor, target);
    const at = classOf(held.quantity, held.value);
    const fits = kept.reduce((sum, one) => sum + one.probability * (forecast.of(one)[at] ?? 0), 0);
    const words = askWords(model, { ask: { kind: "measure", probe, target } });
    const place = placeWords(model, target);
    const near = AT_HAND_S / probeCost_s(model, probe, condition, opened, last);
    const probability = fits * near * weightOf(probe, open, planned);
    return [{ probe, condition, words, place, probability }];
  });
  const total = rated.reduce((sum, one) => sum + one.probability, 0);
  return rated
    .map((one) => ({ ...one, probability: total > 0 ? one.probability / total : 0 }))
    .filter((one) => one.probability > 0.01)
    .sort((a, b) => b.probability - a.probability);
}

/** The same points under the same condition, but for the trigger; planned or not. */
function triggered(model: ToolModel, { probe, condition }: Place): Probe[] {
  const others = model.conditions.filter(({ condition: other }) => {
    const sameOtherwise = { ...condition, trigger: other.trigger };
    return (
      other.trigger !== condition.trigger && conditionKey(sameOtherwise) === conditionKey(other)
    );
  });
  return others.map(({ id }) => ({ ...probe, condition: id }));
}

function weightOf(
  probe: Probe,
  open: readonly Probe[],
  planned: Pick<Probe, "quantity" | "red" | "black"> | null,
): number {
  const at = open.indexOf(probe);
  if (at < 0) return WEIGHT.done;
  if (planned?.red === probe.red && planned.black === probe.black) return WEIGHT.planned;
  return at === 0 ? WEIGHT.proposed : WEIGHT.open;
}
