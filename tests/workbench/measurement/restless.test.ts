import { describe, expect, test } from "vitest";
import { Restlessness } from "../../../workbench/measurement/restless.js";
import { Random } from "./random.js";

/** How many quiet readings convince after probes that wandered about a fifth of a volt. */
function readingsNeeded(wanderCount_V: number, restCount_V: number): number {
  const random = new Random(5);
  const restless = new Restlessness(1);
  restless.forget();
  for (let i = 0; i < 6; i++) {
    restless.feel(i * 0.3, 0.2 * random.next(), wanderCount_V, 0.01 / wanderCount_V);
  }
  restless.feel(2, 0.15, restCount_V, 0.01 / restCount_V);
  for (let run = 1; run < 100; run++) if (restless.convinces(0, () => run)) return run;
  return Number.POSITIVE_INFINITY;
}

describe("restlessness across a change of range", () => {
  test("what moved on the fine range counts as much as on the coarse one", () => {
    expect(readingsNeeded(0.001, 0.01)).toBe(readingsNeeded(0.01, 0.01));
    expect(readingsNeeded(0.01, 0.001)).toBe(readingsNeeded(0.001, 0.001));
  });

  test("the coarser the count against the wandering, the more readings convince", () => {
    expect(readingsNeeded(0.01, 0.01)).toBeGreaterThan(readingsNeeded(0.001, 0.001));
  });
});
