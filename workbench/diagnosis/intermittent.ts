import type { BenchCondition } from "../models/model.js";
import type { Variant } from "./compile.js";

export function isLoaded(condition: BenchCondition): boolean {
  return condition.trigger !== "released" || condition.pack === "at-motor";
}

/** Powered and squeezed, or fed past the trigger: the motor should be turning. */
function isRunning(condition: BenchCondition): boolean {
  return isLoaded(condition) && condition.pack !== "out";
}

/** How likely one settled reading shows an intermittent fault. */
export function showing({ mode }: Variant, condition: BenchCondition): number {
  const { shows } = mode;
  if (shows === undefined) return 1;
  if (isRunning(condition)) return shows.running;
  return isLoaded(condition) || condition.shaft === "turned-by-hand" ? shows.moved : shows.still;
}

/** How likely several samples show it as jumping about. */
export function jumping({ mode }: Variant, condition: BenchCondition): number {
  const { shows } = mode;
  if (shows === undefined) return 0;
  const moved = isLoaded(condition) || condition.shaft === "turned-by-hand";
  return moved ? shows.moved : shows.still;
}
