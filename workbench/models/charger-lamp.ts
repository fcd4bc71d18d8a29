import type { Override, Sighting } from "./model.js";

/** Values of what a charger's lamp says with a pack on it, in the words of the plans' step. */
export type Lamp = Readonly<Record<"charging" | "fault" | "dark", number>>;

export function lamp(charging: number, fault: number): Lamp {
  return { charging, fault, dark: Math.round((1 - charging - fault) * 1e6) / 1e6 };
}

/**
 * What the lamp says. It tells what the charger's logic believes, not what flows: some are lit
 * without any output, some call a pack too warm that is only sun-warm. All odds: common practice, no
 * source. Dark: nothing at all, or the same as without a pack.
 */
export function chargerLamp(condition: string, overrides: readonly Override[]): Sighting {
  return {
    id: "charger-lamp",
    label: "What the charger's lamp says with the pack on it",
    values: ["charging", "fault", "dark"],
    condition,
    from: "table",
    otherwise: lamp(0.95, 0.04),
    overrides,
    cost_s: 20,
    looks: [
      {
        step: "charger-lamp",
        values: { charging: "charging", fault: "fault", dark: "dark" },
      },
    ],
  };
}

/** The charger and the pack of a tool. */
export const supplyLamp: Sighting = chargerLamp("charger-with-pack", [
  { part: "charger", mode: "dead", p: lamp(0.1, 0.2) },
  { part: "charger", mode: "weak", p: lamp(0.5, 0.38) },
  // Nothing at its contacts: many chargers do not notice that there is a pack.
  { part: "pack", mode: "dead", p: lamp(0.1, 0.5) },
  { part: "pack", mode: "tripped-protection", p: lamp(0.35, 0.4) },
  // The charger's own trickle wakes it, at most within seconds.
  { part: "pack", mode: "asleep", p: lamp(0.55, 0.3) },
  { part: "pack", mode: "weak", p: lamp(0.85, 0.13) },
]);
