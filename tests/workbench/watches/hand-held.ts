import type { Quantity, TimedReading } from "../../../protocols/reading.js";
import { unitOf } from "../../../protocols/reading.js";
import type { Outcome, Prompt, Watch } from "../../../workbench/measurement/watch.js";

/** A meter whose stream a test writes down; null: over range. */
export class HandHeld {
  time_s = 0;
  outcome: Outcome | null = null;
  /** Kinds of the prompts in the order in which they came. */
  readonly prompts: (Prompt["kind"] | null)[] = [];

  constructor(
    private readonly watch: Watch,
    private readonly quantity: Quantity = "resistance",
    private readonly interval_s = 0.1,
    private readonly resolution = quantity === "voltage" ? 0.01 : 0.1,
  ) {}

  show(value: number | null | (() => number | null), duration_s: number): this {
    const readings = Math.round(duration_s / this.interval_s);
    for (let count = 0; count < readings && !this.outcome; count += 1) {
      this.time_s += this.interval_s;
      this.take(this.reading(typeof value === "function" ? value() : value));
    }
    return this;
  }

  private take(reading: TimedReading): void {
    const update = this.watch.push(reading);
    const kind = update.prompt?.kind ?? null;
    if (kind !== (this.prompts.at(-1) ?? null)) this.prompts.push(kind);
    this.outcome = update.outcome;
  }

  private reading(value: number | null): TimedReading {
    return {
      time_s: this.time_s,
      channel: "a",
      quantity: this.quantity,
      coupling: this.quantity === "voltage" ? "dc" : null,
      value,
      overload: value === null,
      unit: unitOf(this.quantity),
      resolution: this.resolution,
      flags: [],
    };
  }
}

export const OHMS = {
  quantity: "resistance",
  coupling: null,
  polarity: "as-marked",
  zero: "prove",
} as const;
