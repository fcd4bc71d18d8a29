import type { BrushedParts } from "./brushed-parts.js";

/** What a person sees or feels of a drill that stands still, as the id of a plan's choice; null: not asked of it. */
export function feltOf({ brushes, gears, motor }: BrushedParts, question: string): string | null {
  const blocked = gears.jammed || motor.seized;
  switch (question) {
    case "chuck-turn":
      if (blocked) return "stuck";
      return gears.slipping ? "loose" : "free";
    case "shaft-by-hand":
      return blocked ? "blocked" : "turns";
    case "brush-length":
      return brushes.wear === "none" ? "good" : "worn";
    case "motor-shaft":
      return motor.seized ? "stuck" : "turns";
    case "gears-input":
      if (gears.jammed) return "stuck";
      return gears.slipping ? "slips" : "drives";
    default:
      return null;
  }
}
