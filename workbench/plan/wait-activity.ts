import type { TimedReading } from "../../protocols/reading.js";
import { WAITING } from "./activity.js";
import type { Activity, Progress } from "./activity.js";
import { plainResult } from "./step-results.js";

/** A `wait` step: over when the readings say that its time has passed. */
export class WaitActivity implements Activity {
  constructor(
    private readonly step: string,
    private readonly started_s: number,
    private readonly duration_s: number,
  ) {}

  push(reading: TimedReading): Progress {
    const { started_s, duration_s } = this;
    if (reading.time_s - started_s < duration_s) return WAITING;
    const span = { started_s, ended_s: reading.time_s };
    const result = plainResult(this.step, "not-judged", `waited ${duration_s} seconds`, span);
    return { ...WAITING, done: { result, left: null } };
  }
}
