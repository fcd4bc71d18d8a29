import type { BenchCondition, NamedCondition } from "./model.js";

const REST: BenchCondition = {
  trigger: "released",
  pack: "out",
  charger: "unplugged",
  shaft: "still",
  case: "closed",
  mains: "unplugged",
  motor: "connected",
};

/** Only where the motor has two leads of its own; a brushless one has not. */
export const motorFed = named(
  "motor-fed",
  "Own pack out, motor leads off the switch, a known supply (fused, or limited in current) on brush a and brush b",
  { pack: "at-motor", motor: "disconnected" },
);

export function condition(changes: Partial<BenchCondition>): BenchCondition {
  return { ...REST, ...changes };
}

function named(id: string, label: string, changes: Partial<BenchCondition>): NamedCondition {
  return { id, label, condition: condition(changes) };
}

/** How far the tool is open follows from the points, so no condition names it. */
export const cordlessConditions: readonly NamedCondition[] = [
  named("pack-out", "Pack out of the tool, trigger released", {}),
  named("pack-out-squeezed", "Pack out of the tool, trigger squeezed", { trigger: "squeezed" }),
  named("pack-out-shaft-turned", "Pack out, shaft turned by hand while measuring", {
    shaft: "turned-by-hand",
  }),
  named("pack-on-load", "Pack out of the tool, on a load of a few amperes (a car lamp)", {
    pack: "on-load",
  }),
  named("at-rest", "Pack in the tool, trigger released", { pack: "in" }),
  named("lamp-on-tool", "Pack in the tool, trigger released, a car lamp across the switch input", {
    pack: "in-with-lamp",
  }),
  named("squeezed", "Pack in the tool, trigger squeezed", { pack: "in", trigger: "squeezed" }),
  named("known-pack-at-rest", "A known good pack in the tool, trigger released", {
    pack: "known-good",
  }),
  named("known-pack-squeezed", "A known good pack in the tool, trigger squeezed", {
    pack: "known-good",
    trigger: "squeezed",
  }),
  named("charger-empty", "Charger plugged in, no pack on it", { charger: "plugged" }),
  named("charger-with-pack", "Charger plugged in, the pack on it", {
    charger: "plugged",
    pack: "on-charger",
  }),
];

/** Equal for conditions that are the same to the circuit; the state of the case is not part of it. */
export function conditionKey(c: BenchCondition): string {
  return `${c.trigger} ${c.pack} ${c.charger} ${c.shaft} ${c.mains}`;
}
