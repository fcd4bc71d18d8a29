import type { RunEvent } from "./run-event.js";
import type { Plan } from "./schema.js";
import type { StepResult } from "./step-result.js";

/** The end of a run, with its questions counted by how they came out. */
export function finished(
  { steps }: Plan,
  results: ReadonlyMap<string, StepResult>,
  time_s: number,
): RunEvent {
  const judged = steps
    .filter(({ kind }) => kind === "measure" || kind === "look")
    .map(({ id }) => results.get(id)?.verdict);
  const passed = judged.filter((verdict) => verdict === "pass").length;
  const failed = judged.filter((verdict) => verdict === "fail").length;
  return { kind: "finished", time_s, passed, failed, other: judged.length - passed - failed };
}
