import type { CautionKind } from "./schema.js";

/**
 * The cautions, word for word as they are shown and spoken. They remind a trained person; local
 * codes and licensed practice come first.
 */
const WORDS: Readonly<Record<CautionKind, string>> = {
  mains:
    "Mains voltage can kill. Only for a person trained and, where local codes ask for it, licensed for this work. " +
    "Rated leads with shrouded tips, no bare metal at the fingers, one hand behind your back. " +
    "Pull the plug before anything is opened.",
  capacitor:
    "Capacitors hold their charge after the plug or the pack is out. Wait, then measure that the voltage has gone before you touch.",
  pack: "The pack can deliver hundreds of amperes. Never bridge its contacts: one probe at a time, no rings, no loose tools near it.",
  "lithium-damaged":
    "A lithium pack that is swollen, punctured, wet, hot or deeply discharged is not charged and not opened. " +
    "Put it outside on something that does not burn, and follow your local rules for damaged cells. Never bypass its protection.",
  "moving-tool":
    "The tool can start. Clamp it, no bit in the chuck, sleeves and fingers clear of the chuck and the gear train.",
  "power-off-for-ohms":
    "Ohms and continuity on a dead circuit only: pack out, charger and mains unplugged, before the probes touch.",
};

export function cautionWords(kind: CautionKind): string {
  return WORDS[kind];
}
