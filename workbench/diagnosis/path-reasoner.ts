import type { PowerPath } from "../contract/events.js";
import { observationsOf } from "./from-step.js";
import type { Restrictions } from "./cost.js";
import type { Declared } from "./free/free-event.js";
import { matchReading } from "./free/match.js";
import type { HeldReading, Match } from "./free/match.js";
import { measuredFrom } from "./free/taken.js";
import { infer } from "./infer.js";
import { askWords } from "./meaning.js";
import { placeWords } from "./words.js";
import { isSettled, proposals } from "./next-probe.js";
import type { Measured, Observation } from "./observation.js";
import type { Target } from "./predict.js";
import { powerPath, predictorOf } from "./power-path.js";
import { conditionKey } from "../models/conditions.js";
import { report } from "./report.js";
import type { Report } from "./report.js";
import { restrictionsOf } from "./restrictions.js";
import { withExperience } from "../models/experience.js";
import type { Experience } from "../models/experience.js";
import { modelOf } from "../models/kinds.js";
import type { Probe, ToolModel } from "../models/model.js";
import { toolDataSchema } from "../models/tool-data.js";
import { chooseStep } from "./order/choose-step.js";
import type { Weights } from "./order/choose-step.js";
import { weighSteps } from "./order/weigh-steps.js";
import type { Choice } from "../plan/run-event.js";
import type { Plan } from "../plan/schema.js";
import type { ToolState } from "../plan/tool-state.js";
import type { StepResult } from "../plan/step-result.js";

/** Without a model nothing can be weighed: every step keeps its place. */
const NOTHING_WEIGHED: Weights = { of: new Map(), settled: null };

const NOTHING_KNOWN: PowerPath = { parts: [], points: [], next: null };

/** Follows what the recorded steps say of the parts. A step that is repeated replaces its reading. */
export class PathReasoner {
  readonly model: ToolModel | null;
  readonly #results = new Map<string, StepResult>();
  /** Per step, the same objects each time: what is known of them is remembered. */
  readonly #observations = new Map<string, readonly Observation[]>();

  readonly #free = new Map<string, Measured>();

  constructor(
    private readonly plan: Plan,
    private readonly data: Readonly<Record<string, number>>,
    experience: Experience | null = null,
  ) {
    const known = toolDataSchema.safeParse({
      nominal_V: data["ratedVoltage"],
      cells: data["cells"],
    });
    const model = modelOf(plan.tool.kind, known.success ? known.data : {});
    this.model = model !== null && experience !== null ? withExperience(model, experience) : model;
  }

  take(result: StepResult): void {
    const step = this.plan.steps.find(({ id }) => id === result.step);
    this.#results.set(result.step, result);
    if (step === undefined || this.model === null) return;
    this.#observations.set(result.step, observationsOf(this.model, step, result));
  }

  /** A reading that was taken beside the plan; one at the same place replaces it. */
  takeFree(observation: Measured): void {
    const { red, black, quantity } = observation;
    const place = `${quantity} ${red} ${black} ${conditionKey(observation.condition)}`;
    this.#free.set(place, observation);
  }

  /** A reading taken beside the plan, as the journal keeps it. */
  recall(recorded: Parameters<typeof measuredFrom>[1]): void {
    const measured = this.model === null ? null : measuredFrom(this.model, recorded);
    if (measured !== null) this.takeFree(measured);
  }

  /** Where probes that show this may be, the likeliest first. */
  matches(held: HeldReading): Match[] {
    const { model } = this;
    if (!model) return [];
    const posterior = infer(predictorOf(model), this.#taken());
    return matchReading(posterior, held, this.#restrictions(), this.#planned());
  }

  /** All places that can be declared. */
  places(): Declared[] {
    const { model } = this;
    return (model?.probes ?? []).flatMap((probe) => {
      const condition = model?.conditions.find(({ id }) => id === probe.condition)?.condition;
      return model && condition ? [placeOf(model, { ...probe, condition }, probe)] : [];
    });
  }

  /** The places where a measurement would tell most for its work; none when it is settled. */
  proposed(): Declared[] {
    const { model } = this;
    if (!model) return [];
    const posterior = infer(predictorOf(model), this.#taken());
    if (isSettled(posterior)) return [];
    return proposals(posterior, this.#restrictions()).flatMap(({ ask }) =>
      ask.kind === "measure" ? [placeOf(model, ask.target, ask.probe)] : [],
    );
  }

  /**
   * The step of the plan that comes next when what tells most for its work goes first. `open`: ids
   * of the steps that wait for a result, which may have had one before.
   */
  choose({ state, open }: { readonly state: ToolState; readonly open: readonly string[] }): Choice {
    const { plan, model } = this;
    const results = new Map([...this.#results].filter(([id]) => !open.includes(id)));
    const progress = { plan, results, state };
    if (model === null) return chooseStep(progress, NOTHING_WEIGHED);
    const posterior = infer(predictorOf(model), this.#taken());
    const weights = weighSteps(posterior, plan, results, this.#restrictions());
    return chooseStep(progress, weights);
  }

  path(): PowerPath {
    const { model } = this;
    return model ? powerPath(model, this.#taken(), this.#restrictions()) : NOTHING_KNOWN;
  }

  /** null where there is no model of this kind of tool. */
  report(): Report | null {
    const { model } = this;
    return model ? report(model, this.#taken(), this.#restrictions()) : null;
  }

  /** The first measurement of the plan that was not taken yet. */
  #planned(): Pick<Probe, "quantity" | "red" | "black"> | null {
    const open = this.plan.steps.find(
      (step) => step.kind === "measure" && !this.#results.has(step.id),
    );
    if (open?.kind !== "measure") return null;
    const quantity = open.quantity === "voltage" ? "voltage" : "resistance";
    return { quantity, red: open.red, black: open.black };
  }

  #taken(): Observation[] {
    const planned = this.plan.steps.flatMap(({ id }) => this.#observations.get(id) ?? []);
    return [...planned, ...this.#free.values()];
  }

  #restrictions(): Restrictions {
    return restrictionsOf(this.plan, this.#planData(), this.#results);
  }

  #planData(): Record<string, number> {
    const defaults = Object.entries(this.plan.tool.data).map(([name, one]) => [name, one.default]);
    return { ...(Object.fromEntries(defaults) as Record<string, number>), ...this.data };
  }
}

function placeOf(model: ToolModel, target: Target, probe: Probe): Declared {
  const words = askWords(model, { ask: { kind: "measure", probe, target } });
  return { probe, condition: target.condition, words, place: placeWords(model, target) };
}

/** What the readings say, as one sentence for the end of a run. */
export function conclusionOf(path: PowerPath): string {
  const condemned = path.parts.filter(({ state }) => state === "condemned");
  const suspects = path.parts
    .filter(({ state }) => state === "suspect")
    .sort((a, b) => (b.odds ?? 0) - (a.odds ?? 0));
  const suspected = listed(suspects.map(({ label }) => label));
  if (condemned.length > 0) {
    const found = `At fault: ${listed(condemned.map(({ label }) => label))}.`;
    return suspects.length > 0 ? `${found} Still suspect: ${suspected}.` : found;
  }
  if (suspects.length > 0) return `Not settled. Suspect: ${suspected}.`;
  return path.parts.length > 0
    ? "No fault found in what was measured."
    : "This kind of tool has no model yet: judge by the recorded steps.";
}

function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}
