import type { TimedReading } from "../../protocols/reading.js";
import { KNOWN_SOURCE } from "../contract/plan-choices.js";
import type { Activity } from "./activity.js";
import { DoActivity } from "./do-activity.js";
import { emptyResult, judgeOutcome } from "./judgement.js";
import type { MeterKnown } from "./judgement.js";
import type { ResolvedLimits } from "./limits.js";
import { LookActivity } from "./look-activity.js";
import { MeasureActivity } from "./measure-activity.js";
import type { RunnerParts } from "./runner-parts.js";
import type { MeasureStep, Plan, Step } from "./schema.js";
import type { StepResult } from "./step-result.js";
import { WaitActivity } from "./wait-activity.js";

export interface StartContext {
  readonly plan: Plan;
  /** The measuring step that the step makes way for: its dial position says that it is done. */
  readonly next: MeasureStep | null;
  readonly results: ReadonlyMap<string, StepResult>;
  /** What is known of the meter, asked when a figure is judged. */
  readonly meter: () => MeterKnown;
  readonly time_s: number;
  /** Whether the probes are plainly on something as the step starts; null where it is not plain. */
  readonly touching: boolean | null;
  /** The last reading of the step before, where it has to go away first. */
  readonly left: TimedReading | null;
  readonly limits: ResolvedLimits;
}

export function startActivity(step: Step, context: StartContext, parts: RunnerParts): Activity {
  switch (step.kind) {
    case "measure":
      return startMeasuring(step, context, parts);
    case "do":
      return new DoActivity(
        {
          step: step.id,
          started_s: context.time_s,
          next: context.next,
          isTip: (reading) => isTip(reading, context),
        },
        context.touching,
      );
    case "look":
      return new LookActivity(step, context.time_s);
    case "wait":
      return new WaitActivity(step.id, context.time_s, step.duration_s);
  }
}

function startMeasuring(step: MeasureStep, context: StartContext, parts: RunnerParts): Activity {
  const { quantity, coupling, polarity, zero } = step;
  const target = { quantity, coupling, polarity, zero };
  return new MeasureActivity(
    step,
    parts.startWatch(step.watch, target, context.left),
    (outcome) => judgeOutcome(step, outcome, context.limits, context.meter()),
    (reason, span) => emptyResult(step, context.limits, reason, span),
  );
}

/** Tips held together, and a little more for the leads. */
const TOGETHER_OHM = 1;
/** How near to its first reading the known source has to come back. */
const SOURCE_SHARE = 0.05;

/** A touch that says yes without being the next step's: the known source, or the tips together. */
function isTip(reading: TimedReading, { plan, results }: StartContext): boolean {
  const { value } = reading;
  if (value === null) return false;
  if (reading.quantity !== "voltage") return value < TOGETHER_OHM;
  return knownVolts(plan, results).some(
    (known) => Math.abs(Math.abs(value) - Math.abs(known)) <= SOURCE_SHARE * Math.abs(known),
  );
}

function knownVolts(plan: Plan, results: ReadonlyMap<string, StepResult>): number[] {
  const source = plan.points.filter(({ part }) => part === KNOWN_SOURCE).map(({ id }) => id);
  return plan.steps.flatMap((step) => {
    if (step.kind !== "measure" || step.quantity !== "voltage") return [];
    if (!source.includes(step.red) || !source.includes(step.black)) return [];
    return results.get(step.id)?.value ?? [];
  });
}
