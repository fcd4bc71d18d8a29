import type { BenchCondition, ReadingPlace, Sighting, ToolModel } from "../models/model.js";
import type { LookStep, MeasureStep, Step } from "../plan/schema.js";
import type { StepResult } from "../plan/step-result.js";
import type { Measured, Observation, Seen } from "./observation.js";
import type { Target } from "./predict.js";

/**
 * A finished step as observations of the tool; none where it tells the reasoning nothing (skipped,
 * a quantity, point or question that the model does not know).
 */
export function observationsOf(model: ToolModel, step: Step, result: StepResult): Observation[] {
  if (step.kind === "look") return seenIn(model, step, result);
  if (step.kind !== "measure") return [];
  const words = model.sightings.filter((one) => wordsOf(one, step) !== undefined);
  if (words.length > 0) return wordedIn(words, step, result);
  const measured = measuredIn(model, step, result);
  if (measured === null) return [];
  if (step.watch.kind !== "change") return [measured];
  // A worked contact is two readings: closed while squeezed, open when released.
  const released = result.details["released"];
  if (released === undefined) return [measured];
  const condition = { ...measured.condition, trigger: "released" as const };
  // Nothing there: on ohms an open circuit, on volts zero.
  const value = released.value ?? (measured.quantity === "voltage" ? 0 : null);
  return [measured, { ...measured, condition, value, proved: true, unsteady: null }];
}

/** Where and how a measuring step measures, as the model knows it; null where it does not. */
export function targetOf(model: ToolModel, step: MeasureStep): Target | null {
  const quantity = quantityOf(step);
  const known = (id: string): boolean => model.points.some((point) => point.id === id);
  if (quantity === null || !known(step.red) || !known(step.black)) return null;
  return { quantity, red: step.red, black: step.black, condition: conditionOf(step) };
}

function seenIn(model: ToolModel, step: LookStep, result: StepResult): Seen[] {
  const choice = step.choices.find(({ label }) => result.reason?.endsWith(label) === true);
  if (choice === undefined) return [];
  return model.sightings.flatMap((sighting): Seen[] => {
    const look = sighting.looks.find((one) => one.step === step.id);
    const value = look?.values[choice.id];
    return value === undefined ? [] : [{ kind: "seen", sighting: sighting.id, value }];
  });
}

type Words = NonNullable<Sighting["readings"]>[number]["values"];

function wordsOf({ readings }: Sighting, step: MeasureStep): Words | undefined {
  return readings?.find((one) => one.step === step.id)?.values;
}

/** A reading that counts by where it lies to its limits; one too close to call says nothing. */
function wordedIn(sightings: readonly Sighting[], step: MeasureStep, result: StepResult): Seen[] {
  const place = placeOf(result);
  if (place === null) return [];
  return sightings.flatMap((sighting): Seen[] => {
    const value = wordsOf(sighting, step)?.[place];
    return value === undefined ? [] : [{ kind: "seen", sighting: sighting.id, value }];
  });
}

function placeOf({ verdict, value, overload, zero, limits }: StepResult): ReadingPlace | null {
  if (verdict === "not-judged" || limits === null) return null;
  if (verdict === "pass") return "within";
  if (zero === "proved" || overload !== false) return "nothing";
  if (verdict !== "fail" || value === null) return null;
  if (limits.low !== null && value < limits.low) return "below";
  return limits.high !== null && value > limits.high ? "above" : null;
}

function measuredIn(model: ToolModel, step: MeasureStep, result: StepResult): Measured | null {
  const target = targetOf(model, step);
  if (target === null) return null;
  if (result.verdict === "not-judged" && result.value === null && result.overload === false) {
    return null;
  }
  const value = valueOf(step, result);
  if (value === null && result.overload === false) return null;
  if (value === null && target.quantity === "voltage") return null;
  return {
    kind: "measured",
    ...target,
    value,
    u: result.uncertainty === null ? null : result.uncertainty / (result.k ?? 2),
    proved: result.zero === "proved",
    unsteady: unsteadyOf(step, result),
  };
}

function quantityOf({ quantity, coupling }: MeasureStep): Measured["quantity"] | null {
  // What alternates is no voltage that the network predicts.
  if (quantity === "voltage") return coupling === "dc" || coupling === null ? "voltage" : null;
  return quantity === "resistance" || quantity === "continuity" ? "resistance" : null;
}

/**
 * A sag's loaded plateau is what the model predicts; its floor is the inrush of a motor starting.
 * A sweep counts with its least value: the greatest belongs to an angle, not to the motor.
 */
function valueOf({ watch }: MeasureStep, result: StepResult): number | null {
  if (watch.kind === "sag") return result.details["plateau"]?.value ?? result.value;
  if (watch.kind === "sweep") return result.details["least"]?.value ?? result.value;
  return result.value;
}

/** A sag is read while the trigger is held although the step begins with it released. */
function conditionOf({ condition, watch }: MeasureStep): BenchCondition {
  if (watch.kind === "sag" || watch.kind === "change") return { ...condition, trigger: "squeezed" };
  if (watch.kind === "sweep") return { ...condition, shaft: "turned-by-hand" };
  return condition.trigger === "worked" ? { ...condition, trigger: "squeezed" } : condition;
}

/** Above this no closed contact is what the probes are on, ohms. */
const CREEPS_OHM = 10_000;

/** A sweep that went over range although its least value is a closed circuit: contact was lost. */
function unsteadyOf({ watch }: MeasureStep, result: StepResult): boolean | null {
  if (watch.kind === "change") {
    // A press whose contact never came to rest has a value, but none that it stood at.
    const stood = result.details["squeezed"]?.value !== null || result.zero === "proved";
    // What creeps and drops out in the kilohms is a capacitor that charges, not a contact that jumps.
    if (Math.abs(result.value ?? 0) > CREEPS_OHM) return null;
    const restless = result.value !== null && !stood;
    return restless || (result.details["interruptions"]?.value ?? 0) > 1;
  }
  if (watch.kind !== "sweep") return null;
  const [least, greatest] = [result.details["least"]?.value, result.details["greatest"]?.value];
  if (least === null || least === undefined) return null;
  if (greatest === null || greatest === undefined) return true;
  return greatest > 3 * least + 2;
}
