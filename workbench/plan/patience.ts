import type { Progress } from "./activity.js";

/** Nothing has happened for this long: the last words are said once more, then it is quiet. */
const AGAIN_S = 12;

/** Notices that nothing happens. Anything that happens starts its clock, and its one repeat, anew. */
export class Patience {
  private key = "";
  private since_s: number;
  private repeated = false;

  constructor(started_s: number) {
    this.since_s = started_s;
  }

  /** True once, when it is time to repeat. */
  isTimeToRepeat(progress: Progress, time_s: number): boolean {
    const key = `${progress.contact ?? ""} ${progress.prompt?.kind ?? ""} ${progress.touches ?? ""}`;
    const moving = progress.contact === "settling" || progress.contact === "held";
    const turning = progress.prompt?.kind === "turn-shaft";
    const busy = moving && (progress.prompt === null || turning);
    if (key !== this.key || busy) {
      if (key !== this.key) this.repeated = false;
      this.key = key;
      this.since_s = time_s;
      return false;
    }
    if (this.repeated || time_s - this.since_s < AGAIN_S) return false;
    this.repeated = true;
    return true;
  }
}
