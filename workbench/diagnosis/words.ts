import type { BenchCondition, ToolModel } from "../models/model.js";
import type { Measured, Observation } from "./observation.js";
import { conditionKey } from "../models/conditions.js";

/** A value as a technician says it: "19.8 V", "0.20 Ω", "1.2 kΩ", "open". */
export function valueWords(quantity: "voltage" | "resistance", value: number | null): string {
  if (quantity === "voltage") return value === null ? "over range" : `${volts(value)} V`;
  if (value === null || value > 40e6) return "open";
  if (value < 10) return `${value.toFixed(2)} Ω`;
  if (value < 1000) return `${value.toFixed(0)} Ω`;
  return value < 1e6 ? `${short(value / 1e3)} kΩ` : `${short(value / 1e6)} MΩ`;
}

/** Two digits that count, never as a power of ten. */
function short(value: number): string {
  return value < 9.95 ? value.toFixed(1) : value.toFixed(0);
}

function volts(value: number): string {
  const text = value.toFixed(Math.abs(value) < 1 ? 2 : 1);
  return Number(text) === 0 ? text.replace("-", "") : text;
}

function pointWords(model: ToolModel, id: string): string {
  const label = model.points.find((point) => point.id === id)?.label ?? id;
  return label.charAt(0).toLowerCase() + label.slice(1);
}

function conditionWords(model: ToolModel, condition: BenchCondition): string {
  const key = conditionKey(condition);
  const named = model.conditions.find((one) => conditionKey(one.condition) === key);
  const label = named?.label ?? `pack ${condition.pack}, trigger ${condition.trigger}`;
  return label.charAt(0).toLowerCase() + label.slice(1);
}

type Where = Pick<Measured, "red" | "black" | "condition">;

/** "from switch output plus to brush a (pack out of the tool, trigger released)". */
export function placeWords(model: ToolModel, { red, black, condition }: Where): string {
  const ends = `from ${pointWords(model, red)} to ${pointWords(model, black)}`;
  return `${ends} (${conditionWords(model, condition)})`;
}

export function observationWords(model: ToolModel, observation: Observation): string {
  if (observation.kind === "measured") {
    const unsteady = observation.unsteady === true ? "jumping about, " : "";
    const value = valueWords(observation.quantity, observation.value);
    return `${unsteady}${value} ${placeWords(model, observation)}`;
  }
  const label = model.sightings.find((one) => one.id === observation.sighting)?.label;
  return `${label ?? observation.sighting}: ${observation.value}`;
}

/** "4 %", "under 1 %", "over 99 %": no more digits than the priors deserve. */
export function oddsWords(probability: number): string {
  if (probability < 0.01) return "under 1 %";
  if (probability > 0.99) return "over 99 %";
  return `${Math.round(probability * 100)} %`;
}
