import { describe, expect, it } from "vitest";
import { emptyState } from "../../../renderer/store/state.js";
import { reduce } from "../../../renderer/store/reduce.js";
import type { BenchState } from "../../../renderer/store/state.js";
import { ageOf, digitCells, readingView, widthInEms } from "../../../renderer/view/reading-view.js";
import type { BenchEvent } from "../../../workbench/contract/events.js";
import { hello, meter, volts } from "../scenario.js";

function after(events: readonly BenchEvent[], link: "open" | "lost" = "open"): BenchState {
  const start: BenchState = { ...emptyState(0), link: { state: link, since_ms: 0 } };
  return events.reduce((state, event) => reduce(state, event, 1000), start);
}

function viewOf(state: BenchState) {
  return readingView(state.readings["a"], state.meters["a"], state.link);
}

describe("the reading", () => {
  it("shows the meter's own digits, unit and function", () => {
    const view = viewOf(after([hello, meter("live"), volts("-0.020")]));
    expect(view).toMatchObject({ digits: "-0.020", unit: "V", words: "DC voltage", live: true });
    expect(view.flags).toEqual(["auto range"]);
  });
  it.each([
    "absent",
    "opening",
    "silent",
    "unreadable",
    "stale",
    "lost",
    "denied",
    "busy",
  ] as const)("is not live when the meter is %s, and says what to do", (state) => {
    const view = viewOf(after([hello, meter("live"), volts("19.84"), meter(state)]));
    expect(view.live).toBe(false);
    expect(view.sign).not.toBe("");
    expect(view.advice).not.toBe("");
  });
  it("is not live when the bench is gone, whatever the meter was", () => {
    const view = viewOf(after([hello, meter("live"), volts("19.84")], "lost"));
    expect(view).toMatchObject({ live: false, sign: "Bench gone", state: "bench-gone" });
  });
  it("takes the bench's advice before its own", () => {
    const advice = { code: "meter/denied", what: "No.", action: "Join the group dialout." };
    const state = after([hello, meter("denied")]);
    const status = { ...state.meters["a"]!, advice };
    expect(readingView(undefined, status, state.link).advice).toBe("Join the group dialout.");
  });
});

describe("its age", () => {
  it("counts from the time of sampling, also when it came with a snapshot", () => {
    const state = after([hello, volts("19.84", 95)]);
    // The job stood at 100 s when the snapshot came at 1,000 ms of the window's clock.
    expect(ageOf(state.readings["a"]!, state.clock, 3000)).toBeCloseTo(7, 9);
  });
  it("counts from arrival where the job's time is not known", () => {
    const state = after([volts("19.84", 95)]);
    expect(ageOf(state.readings["a"]!, state.clock, 3000)).toBeCloseTo(2, 9);
  });
});

describe("the digits", () => {
  it("keep a place for the sign, so that nothing moves when it comes", () => {
    const plain = digitCells("19.84").map(({ kind }) => kind);
    const minus = digitCells("-19.84").map(({ kind }) => kind);
    expect(plain).toEqual(minus);
  });
  it("are exactly those of the meter", () => {
    for (const digits of ["-0.020", "OL", "+1.2", "019.84"]) {
      expect(
        digitCells(digits)
          .map(({ text }) => text)
          .join(""),
      ).toBe(digits);
    }
  });
  it("shrink for a meter with more of them, and not for one with fewer", () => {
    expect(widthInEms(digitCells("1.0"))).toBe(widthInEms(digitCells("19.84")));
    expect(widthInEms(digitCells("19.843210"))).toBeGreaterThan(5);
  });
});
