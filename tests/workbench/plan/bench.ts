import type { Quantity, TimedReading } from "../../../protocols/reading.js";
import { unitOf } from "../../../protocols/reading.js";
import { parsePlan } from "../../../workbench/plan/load.js";
import { createRunner } from "../../../workbench/plan/runner.js";
import type { Runner } from "../../../workbench/plan/runner.js";
import type { RunEvent } from "../../../workbench/plan/run-event.js";
import type { Plan, PlanInput } from "../../../workbench/plan/schema.js";

export type StepInput = PlanInput["steps"][number];

/** A small plan around the given steps, for tests. */
export function planOf(steps: readonly StepInput[], more: Partial<PlanInput> = {}): Plan {
  const input: PlanInput = {
    format: "leadhand-plan",
    version: 1,
    id: "test-plan",
    title: "Test plan",
    revision: "1",
    tool: {
      kind: "test-tool",
      data: { cells: { label: "Cells", unit: "", default: 5 } },
    },
    points: [
      { id: "known-plus", label: "known source plus", part: "known-source", source: true },
      { id: "known-minus", label: "known source minus", part: "known-source", source: true },
      { id: "pack-plus", label: "pack plus", part: "pack", source: true },
      { id: "pack-minus", label: "pack minus", part: "pack", source: true },
      { id: "brush-a", label: "brush A", part: "brushes" },
      { id: "brush-b", label: "brush B", part: "brushes" },
    ],
    steps: [...steps],
    ...more,
  };
  return parsePlan(input, "test-plan.json");
}

/** A measuring step with everything usual filled in. */
export function measure(id: string, more: Partial<Extract<StepInput, { kind: "measure" }>> = {}) {
  return {
    kind: "measure",
    id,
    title: id,
    instruction: `Measure ${id}.`,
    quantity: "voltage",
    coupling: "dc",
    red: "pack-plus",
    black: "pack-minus",
    condition: {},
    watch: { kind: "settle", window_s: 0.8, counts: 3 },
    means: { pass: "Good.", fail: "Bad." },
    ...more,
  } satisfies StepInput;
}

export function doStep(id: string, more: Partial<Extract<StepInput, { kind: "do" }>> = {}) {
  return { kind: "do", id, title: id, instruction: `Do ${id}.`, ...more } satisfies StepInput;
}

/** A meter at five readings a second whose probes a script moves; open leads drift a little. */
export class ScriptedBench {
  readonly events: RunEvent[];
  time_s = 0;
  quantity: Quantity = "voltage";
  readonly readings: TimedReading[] = [];

  constructor(readonly runner: Runner) {
    this.events = runner.start();
  }

  /** The probes on a value for a while; null: over range. */
  on(value: number | null, duration_s = 2): this {
    const steady = value === null ? null : Number(value.toFixed(2));
    return this.run(duration_s, () => steady);
  }

  /** The probes in the air: wandering millivolts, or over range on ohms. */
  lifted(duration_s = 0.6): this {
    const ghost = () => Number((0.03 * Math.sin(7.3 * this.time_s)).toFixed(2));
    return this.run(duration_s, this.quantity === "voltage" ? ghost : () => null);
  }

  run(duration_s: number, value: () => number | null, flags: TimedReading["flags"] = []): this {
    for (let left_s = duration_s; left_s > 1e-9; left_s -= 0.2) {
      this.time_s = Math.round((this.time_s + 0.2) * 1000) / 1000;
      this.push(value(), flags);
    }
    return this;
  }

  private push(value: number | null, flags: TimedReading["flags"]): void {
    const volts = this.quantity === "voltage";
    const reading: TimedReading = {
      time_s: this.time_s,
      channel: "a",
      quantity: this.quantity,
      coupling: volts ? "dc" : null,
      value,
      overload: value === null,
      unit: unitOf(this.quantity),
      resolution: volts ? 0.01 : 0.1,
      flags,
    };
    this.readings.push(reading);
    this.events.push(...this.runner.push({ kind: "reading", reading }));
  }

  of<K extends RunEvent["kind"]>(kind: K): Extract<RunEvent, { kind: K }>[] {
    return this.events.filter((event) => event.kind === kind) as Extract<RunEvent, { kind: K }>[];
  }

  get results() {
    return this.of("step").map(({ result }) => result);
  }
}

export function benchFor(plan: Plan, toolData: Record<string, number> = {}): ScriptedBench {
  return new ScriptedBench(createRunner({ plan, toolData, accuracy: new Map(), startAt_s: 0 }));
}
