import { bundledPlan } from "../../workbench/plans/bundled.js";
import type { Step } from "../../workbench/plan/schema.js";

/** What a meter shows: a value on a function. null is over range. */
export interface Shown {
  readonly value: number | null;
  readonly quantity: "voltage" | "resistance";
}

/** The moments of a run that a hand reacts to. */
export type Moment =
  | { readonly kind: "begin"; readonly step: string }
  | { readonly kind: "prompt"; readonly prompt: string };

/** What the tool on this bench shows at each step: an invented drill whose switch is burnt. */
export const FOUND: Readonly<Record<string, number>> = {
  "meter-proof": 9.4,
  "charger-output": 21.02,
  "pack-open": 19.84,
  "pack-rest": 19.83,
  "pack-sag": 19.83,
  "terminals-rest": 19.82,
  "terminals-load": 19.82,
  "switch-in": 19.8,
  "switch-in-load": 19.8,
  "switch-out": 6.12,
  "switch-works": 8.5,
  "switch-minus": 0.4,
  "lead-red": 0.4,
  "lead-black": 0.5,
  "motor-sweep": 1.3,
};
/** What these come to under load is what is judged; above stands what shows at rest. */
export const SAGS: readonly string[] = ["pack-sag", "terminals-load", "switch-in-load"];
/** At these steps something is worked or turned: the value above shows only meanwhile. */
const AT_REST: Readonly<Record<string, number | null>> = { "switch-works": null };
const FLOOR_V = 19.21;
const LOADED_V = 19.58;
const KNOWN_V = 9.4;
const TIPS_OHM = 0.2;

/**
 * A hand that knows the tool and the plan, and turns what it is told into what the meter shows:
 * a list of displays, one a reading, the last of them staying.
 */
export class Puppet {
  readonly #steps = bundledPlan("cordless-brushed").steps;
  #step: Step | null = null;

  /** `perSecond`: how many displays of the meter make a second. */
  constructor(private readonly perSecond: number) {}

  react(moment: Moment): Shown[] | null {
    if (moment.kind === "begin") {
      this.#step = this.#steps.find(({ id }) => id === moment.step) ?? null;
      return this.#step?.kind === "measure" ? [...this.#lifted(), this.#atRest()] : null;
    }
    switch (moment.prompt) {
      case "confirm":
      case "choose":
        return [...this.#lifted(), ...this.#touch(), ...this.#lifted()];
      case "show-known-source":
      case "touch-together":
        return [...this.#lifted(), this.#tip()];
      case "reseat":
      case "return":
        return [...this.#lifted(), this.#atRest()];
      case "squeeze":
        return this.#quantity() === "voltage"
          ? [this.#volts(FLOOR_V), this.#volts(LOADED_V)]
          : [this.#found()];
      case "release":
        return [this.#atRest()];
      default:
        return null;
    }
  }

  #touch(): Shown[] {
    return Array<Shown>(Math.ceil(1.2 * this.perSecond)).fill(this.#tip());
  }

  #atRest(): Shown {
    const rest = AT_REST[this.#step?.id ?? ""];
    return rest === undefined ? this.#found() : { ...this.#found(), value: rest };
  }

  #quantity(): Shown["quantity"] {
    const from = this.#step ? this.#steps.indexOf(this.#step) : 0;
    const next = this.#steps.slice(from).find((step) => step.kind === "measure");
    return next?.kind === "measure" && next.quantity === "resistance" ? "resistance" : "voltage";
  }

  #lifted(): Shown[] {
    const quantity = this.#quantity();
    const value = quantity === "voltage" ? 0.002 : null;
    // Longer than the second within which lifting and touching again means "once more".
    return Array<Shown>(Math.ceil(1.4 * this.perSecond)).fill({ quantity, value });
  }

  #found(): Shown {
    return { quantity: this.#quantity(), value: FOUND[this.#step?.id ?? ""] ?? KNOWN_V };
  }

  #tip(): Shown {
    const quantity = this.#quantity();
    return { quantity, value: quantity === "voltage" ? KNOWN_V : TIPS_OHM };
  }

  #volts(value: number): Shown {
    return { quantity: "voltage", value };
  }
}

/** For the segment player: four digits, as the range of a hand-held meter has them. */
export function segmentShow({ value, quantity }: Shown): { text: string; dial: string } {
  if (value === null) return { text: " 0L ", dial: "Mohm" };
  if (quantity === "resistance") return { text: value.toFixed(1), dial: "ohm" };
  return { text: Math.abs(value) < 4 ? value.toFixed(3) : value.toFixed(2), dial: "V dc" };
}

/** For the SCPI player. */
export function scpiShow({ value, quantity }: Shown): { value: number | null; function: string } {
  return { value, function: quantity === "voltage" ? "VOLT" : "RES" };
}
