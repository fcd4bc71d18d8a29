import { until } from "./guest-job.js";
import type { GuestJob } from "./guest-job.js";
import { rig } from "./rig.js";

export interface SessionStats {
  readonly stats: { readonly frames: number };
  readonly timing: { readonly interval_s: number | null; readonly residual_s: number };
  readonly cpu_s: number;
  readonly at_s: number;
}

/** A meter session of the built program in the guest. */
export class SessionJob {
  readonly job: GuestJob;

  constructor(address: string, environment = "") {
    this.job = rig.launch(
      `${environment} exec node /app/tests/devices/guest/session.mjs '${address}'`,
    );
  }

  /** "state" or "state code", in the order in which they came. */
  get states(): string[] {
    return this.job.lines.flatMap((line) => {
      if (line["kind"] !== "state") return [];
      const advice = line["advice"] as { code: string } | null;
      return [[line["state"] as string, ...(advice === null ? [] : [advice.code])].join(" ")];
    });
  }

  /** The state once it was entered, now or before. */
  async state(wanted: string, limit_ms = 60_000): Promise<void> {
    await this.job.line((line) => line["state"] === wanted, limit_ms);
  }

  /** From now until a state is entered, ms. */
  watch(...wanted: string[]): () => Promise<number> {
    const { lines, came_ms } = this.job;
    const [before, start_ms] = [lines.length, performance.now()];
    const found = (): number =>
      lines.findIndex((line, n) => n >= before && wanted.includes(line["state"] as string));
    const report = (): string => `Waited for ${wanted.join(" or ")}. ${this.job.report()}`;
    return async () => {
      await until(() => found() >= 0, 40_000, report);
      return came_ms[found()]! - start_ms;
    };
  }

  async stats(): Promise<SessionStats> {
    const before = this.job.lines.length;
    this.job.send("stats");
    const found = (): unknown => this.job.lines.slice(before).find((line) => "stats" in line);
    await until(() => found() !== undefined);
    return found() as SessionStats;
  }

  close(): void {
    this.job.close();
  }
}

export const rounded = (all: readonly number[]): string =>
  all.map((each) => Math.round(each)).join(" ");
