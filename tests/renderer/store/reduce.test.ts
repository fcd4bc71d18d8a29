import { describe, expect, it } from "vitest";
import { reduce } from "../../../renderer/store/reduce.js";
import { emptyState } from "../../../renderer/store/state.js";
import type { BenchState } from "../../../renderer/store/state.js";
import { extendTrace } from "../../../renderer/store/trace.js";
import type { BenchEvent } from "../../../workbench/contract/events.js";
import { begin, contact, hello, meter, recorded, run, volts } from "../scenario.js";

const limits = { low: 17.5, high: 21 };
const start = [hello, meter("live"), { type: "run", run }] as const;

function after(...events: readonly BenchEvent[]): BenchState {
  return [...start, ...events].reduce((state, event) => reduce(state, event, 0), emptyState(0));
}

describe("a recorded result", () => {
  const failed = recorded("pack-open", "fail", 0, { zero: "proved" });
  const next = begin("pack-sag", limits);

  it("is in the ledger and large from the moment it is on disk, not before", () => {
    expect(after(begin("pack-open", limits), contact("pack-open", "held")).ledger).toEqual([]);
    const state = after(begin("pack-open", limits), failed);
    expect(state.ledger).toHaveLength(1);
    expect(state.last?.result.verdict).toBe("fail");
  });
  it("stays large while the next step begins and the probes are lifted", () => {
    const state = after(begin("pack-open", limits), failed, next, contact("pack-sag", "lifted"));
    expect(state.last?.result.step).toBe("pack-open");
  });
  it("is not pushed off the screen by a step that was passed over because of it", () => {
    const state = after(failed, recorded("pack-sag", "not-judged", null));
    expect(state.last?.result.step).toBe("pack-open");
    expect(state.ledger).toHaveLength(2);
  });
  it("does not take a probe that has not moved for the next contact", () => {
    const state = after(failed, next, contact("pack-sag", "touching"));
    expect(state.last?.result.step).toBe("pack-open");
  });
  it("gives way when the reading moves under probes that stay, as in a squeeze", () => {
    const held = after(failed, next, contact("pack-sag", "held"));
    expect(held.last?.result.step).toBe("pack-open");
    expect(reduce(held, contact("pack-sag", "touching"), 0).last).toBeNull();
  });
  it("gives way to the next contact", () => {
    const state = after(
      failed,
      next,
      contact("pack-sag", "lifted"),
      contact("pack-sag", "touching"),
    );
    expect(state.last).toBeNull();
    expect(state.ledger).toHaveLength(1);
  });
});

describe("a prompt", () => {
  const asked: BenchEvent = {
    type: "prompt",
    step: "pack-sag",
    kind: "squeeze",
    words: "Squeeze.",
  };
  const done: BenchEvent = { type: "prompt", step: "pack-sag", kind: null, words: "" };

  it("stands until it is taken back", () => {
    const before = after(begin("pack-sag", limits), asked, contact("pack-sag", "settling"));
    expect(before.step?.prompt).toEqual({ kind: "squeeze", words: "Squeeze." });
    expect(reduce(before, done, 0).step?.prompt).toBeNull();
  });
  it("of another step is not shown with this one", () => {
    expect(after(begin("pack-open", limits), asked).step?.prompt).toBeNull();
  });
});

describe("a connection", () => {
  it("starts from nothing: what the bench does not say again is forgotten", () => {
    const state = reduce(after(begin("pack-open", limits), volts("19.84")), hello, 0);
    expect(state).toMatchObject({ run: null, step: null, ledger: [], readings: {} });
  });
  it("clears the board for a new run, but keeps the meters", () => {
    const state = after(recorded("pack-open", "pass", 19), volts("19.84"), { type: "run", run });
    expect(state.ledger).toEqual([]);
    expect(state.readings["a"]?.digits).toBe("19.84");
  });
});

describe("a slice", () => {
  it("keeps its identity when a reading comes, so that only the reading is drawn again", () => {
    const before = after(begin("pack-open", limits), recorded("look-over", "pass", 1));
    const now = reduce(before, volts("19.85"), 0);
    for (const slice of ["run", "step", "ledger", "last", "path", "meters", "traces", "troubles"]) {
      expect(now[slice as keyof BenchState]).toBe(before[slice as keyof BenchState]);
    }
    expect(now.readings).not.toBe(before.readings);
  });
});

describe("a trace", () => {
  const columns = (times: readonly number[]) => ({ time_s: times, low: times, high: times });

  it("replaces a point that comes again wider", () => {
    const wider = { time_s: [2, 3], low: [1.5, 3], high: [2.5, 3] };
    expect(extendTrace(columns([1, 2]), wider)).toEqual({
      time_s: [1, 2, 3],
      low: [1, 1.5, 3],
      high: [1, 2.5, 3],
    });
  });
  it("forgets the oldest, and keeps its columns equally long", () => {
    const many = Array.from({ length: 5000 }, (_, at) => at);
    const trace = extendTrace(columns(many), columns([5000]));
    expect(trace.time_s.length).toBeLessThanOrEqual(2000);
    expect(trace.low.length).toBe(trace.time_s.length);
    expect(trace.time_s.at(-1)).toBe(5000);
  });
});
