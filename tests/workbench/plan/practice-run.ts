import { createPracticeBench } from "../../../drivers/practice/bench.js";
import type { HandRequest, PracticeTruth } from "../../../drivers/practice/bench.js";
import type { TimedReading } from "../../../protocols/reading.js";
import type { Accuracy } from "../../../workbench/measurement/accuracy.js";
import { findProtocol } from "../../../protocols/registry.js";
import type { RunEvent } from "../../../workbench/plan/run-event.js";
import { createRunner } from "../../../workbench/plan/runner.js";
import type { Plan } from "../../../workbench/plan/schema.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";
import { TestHand } from "./test-hand.js";

export interface PracticeRun {
  readonly events: readonly RunEvent[];
  readonly results: ReadonlyMap<string, StepResult>;
  readonly readings: readonly TimedReading[];
  readonly chunks: readonly { bytes: Uint8Array; time_s: number }[];
  /** Whether the plan came to its end before the time ran out. */
  readonly finished: boolean;
  readonly requests: readonly HandRequest[];
  readonly truth: PracticeTruth;
}

/** Accuracy of an invented hand-held meter of the usual kind: 4,000 counts, from memory. */
export const HAND_HELD: Accuracy = {
  meter: "practice meter",
  calibrated: null,
  valid_months: 12,
  temperature_degC: { low: 18, high: 28 },
  temperatureCoefficient: 0.1,
  lines: [
    {
      quantity: "voltage",
      coupling: "dc",
      resolution: null,
      upTo: null,
      percentOfReading: 0.5,
      counts: 2,
    },
    {
      quantity: "resistance",
      coupling: null,
      resolution: null,
      upTo: null,
      percentOfReading: 0.8,
      counts: 3,
    },
  ],
};

export interface PracticeSetup {
  readonly plan: Plan;
  readonly faults: readonly string[];
  readonly seed: number;
  readonly limit_s?: number;
  readonly rate_Hz?: number;
  readonly trace?: (line: string) => void;
}

/** Runs a plan on the practice bench with the simulated hand alone: no key, no click. */
export async function practiceRun(setup: PracticeSetup): Promise<PracticeRun> {
  const { plan, faults, seed, limit_s = 900 } = setup;
  const kind = plan.tool.kind;
  const bench = createPracticeBench({
    kind,
    faults,
    seed,
    pace: "at-once",
    clock: { now_ns: () => 0n, after: () => () => undefined },
    ...(setup.rate_Hz === undefined ? {} : { rate_Hz: setup.rate_Hz }),
  });
  const runner = createRunner({
    plan,
    toolData: {},
    accuracy: new Map([["a", HAND_HELD]]),
    startAt_s: 0,
  });
  const requests: HandRequest[] = [];
  const hand = new TestHand(
    plan,
    (request) => {
      requests.push(request);
      bench.follow(request);
    },
    (step) => bench.answer(step),
  );
  const events: RunEvent[] = [];
  const readings: TimedReading[] = [];
  const chunks: { bytes: Uint8Array; time_s: number }[] = [];
  const hear = (fresh: readonly RunEvent[]) => {
    for (const event of fresh) {
      events.push(event);
      setup.trace?.(JSON.stringify(event));
      hand.hear(event);
    }
  };
  hear(runner.start());
  const decoder = findProtocol("segment-14").createDecoder();
  const link = bench.link("a");
  const finished = await new Promise<boolean>((resolve) => {
    link.onChunk = ({ bytes, arrival_ns }) => {
      const time_s = Number(arrival_ns) / 1e9;
      chunks.push({ bytes: bytes.slice(), time_s });
      for (const decoded of decoder.push(bytes)) {
        const reading = { ...decoded, time_s, channel: "a" };
        readings.push(reading);
        hear(runner.push({ kind: "reading", reading }));
        hand.feel(runner.current, bench.truth());
      }
      if (runner.current === null || time_s > limit_s) {
        void link.close();
        resolve(runner.current === null);
      }
    };
    void link.open();
  });
  return {
    events,
    results: runner.results,
    readings,
    chunks,
    finished,
    requests,
    truth: bench.truth(),
  };
}
