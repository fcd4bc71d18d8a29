import { KNOWN_SOURCE } from "../../contract/plan-choices.js";
import type { MeasureStep, Plan } from "../../plan/schema.js";
import type { StepResult } from "../../plan/step-result.js";
import { openedSoFar } from "../cost.js";
import type { Restrictions } from "../cost.js";
import type { Posterior } from "../infer.js";
import { meanings } from "../meaning.js";
import { DEFAULT_STOP, furtherFault, isSettled, weighed } from "../next-probe.js";
import { CONDEMNED } from "../reasons.js";
import { oddsWords } from "../words.js";
import type { Weight, Weights } from "./choose-step.js";
import { stepAsk } from "./step-asks.js";
import type { StepAsk } from "./step-asks.js";

/** What the steps that have no result yet would tell, given everything read so far. */
export function weighSteps(
  posterior: Posterior,
  plan: Plan,
  results: ReadonlyMap<string, StepResult>,
  restrictions: Restrictions,
): Weights {
  const { model } = posterior.predictor.compiled;
  const opened = openedSoFar(model, posterior.observations);
  const measured = posterior.observations.filter((one) => one.kind === "measured");
  const last = measured.at(-1)?.condition ?? null;
  const source = plan.points.filter(({ part }) => part === KNOWN_SOURCE).map(({ id }) => id);
  const onKnownSource = ({ red, black }: MeasureStep): boolean =>
    source.includes(red) && source.includes(black);
  const now = { opened, last, restrictions, onKnownSource };
  const asks = plan.steps
    .filter(({ id }) => !results.has(id))
    .map((step) => stepAsk(model, step, now))
    .filter((ask) => ask !== null);
  const allowed = asks.filter(({ forbidden }) => !forbidden);
  const told = new Map(
    weighed(posterior, allowed).map((proposal) => {
      const { information_bits } = proposal;
      const tells = meanings(model, proposal).map(
        ({ outcome, probability, words }) => `${outcome} (${oddsWords(probability)}): ${words}`,
      );
      return [proposal.asked, { information_bits, tells }] as const;
    }),
  );
  return {
    of: new Map(asks.map((ask) => [ask.step.id, weightOf(ask, told.get(ask))])),
    settled: settledWords(posterior),
  };
}

function weightOf(
  { condition, cost_s, forbidden }: StepAsk,
  told: Pick<Weight, "information_bits" | "tells"> | undefined,
): Weight {
  return { condition, cost_s, forbidden, ...(told ?? { information_bits: 0, tells: [] }) };
}

/** Certain means condemned: what a run concludes of its parts and why it stops must not differ. */
function settledWords(posterior: Posterior): string | null {
  const parts = posterior.candidates[0]?.parts ?? [];
  const certain = parts.every((part) => (posterior.parts[part] ?? 0) >= CONDEMNED);
  if (!certain || !isSettled(posterior)) return null;
  const { model } = posterior.predictor.compiled;
  const names = parts.map((part) => model.parts[part]?.label.toLowerCase() ?? "?").join(" and ");
  const limit = oddsWords(DEFAULT_STOP.furtherFault);
  const odds = oddsWords(furtherFault(posterior));
  return parts.length === 0
    ? `the odds that anything is at fault are ${odds}, less than ${limit}`
    : `${names} is at fault, and the odds of another fault are ${odds}, less than ${limit}`;
}
