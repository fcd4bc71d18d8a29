import { beforeAll, describe, expect, test } from "vitest";
import type { TimedReading } from "../../../protocols/reading.js";
import { FreeProbing } from "../../../workbench/diagnosis/free/free-probing.js";
import type { Declared, FreeEvent } from "../../../workbench/diagnosis/free/free-event.js";
import { PathReasoner } from "../../../workbench/diagnosis/path-reasoner.js";
import { bundledPlan } from "../../../workbench/plans/bundled.js";
import { practiceRun } from "../plan/practice-run.js";
import type { PracticeRun } from "../plan/practice-run.js";
import "../patience.js";

/** A hand and its meter, four readings a second. */
class Bench {
  readonly probing = new FreeProbing();
  readonly heard: FreeEvent[] = [];
  private time_s = 0;

  show(value: number | null, for_s: number, flags: TimedReading["flags"] = [], unit = "V"): void {
    for (const end_s = this.time_s + for_s; this.time_s < end_s; this.time_s += 0.25) {
      const reading = {
        time_s: this.time_s,
        sequence: Math.round(this.time_s * 4),
        channel: "a",
        quantity: unit === "V" ? "voltage" : "resistance",
        coupling: unit === "V" ? "dc" : null,
        value,
        unit,
        resolution: 0.01,
        overload: value === null,
        flags,
      } as unknown as TimedReading;
      this.heard.push(...this.probing.push(reading));
    }
  }

  get last(): FreeEvent | undefined {
    return this.heard.at(-1);
  }
}

function place(red: string, words: string, trigger: "released" | "squeezed" = "released") {
  return {
    probe: { quantity: "voltage", red, black: "pack-minus", condition: `pack-in ${trigger}` },
    condition: {
      trigger,
      pack: "in",
      charger: "unplugged",
      shaft: "still",
      case: "closed",
      mains: "unplugged",
      motor: "connected",
    },
    words,
    place: words,
    probability: 0.5,
  } satisfies Declared & { probability: number };
}
const [first, second] = [place("pack-plus", "the pack"), place("terminal-plus", "the terminals")];
const squeezed = place("pack-plus", "the pack, squeezed", "squeezed");

/** Offers these places for what was held last. */
function offered(bench: Bench, matches: readonly (typeof first)[]): void {
  const { last } = bench;
  expect(last?.kind).toBe("held");
  if (last?.kind === "held") bench.heard.push(...bench.probing.offer(last.held, matches));
}

/** The words of the place that is asked for. */
function askedFor({ last }: Bench): string | null {
  return last?.kind === "ask" ? (last.matches[last.at]?.words ?? null) : null;
}

function askedAt(value: number): Bench {
  const bench = new Bench();
  bench.show(0, 1);
  bench.show(value, 1.5);
  offered(bench, [first, second]);
  expect(askedFor(bench)).toBe("the pack");
  return bench;
}

describe("the place of a reading is confirmed hands-free", () => {
  test("staying says yes", () => {
    const bench = askedAt(19.8);
    bench.show(19.8, 1);
    expect(bench.last?.kind).toBe("ask");
    bench.show(19.8, 3);
    expect(bench.last).toMatchObject({ kind: "taken", taken: { how: "stayed", place: first } });
  });
  test("lifting says no, and the same reading again asks for the next place", () => {
    const bench = askedAt(19.8);
    bench.show(0, 1);
    expect(bench.last?.kind).toBe("refused");
    bench.show(19.82, 1.5);
    expect(askedFor(bench)).toBe("the terminals");
    bench.show(0, 1);
    bench.show(19.8, 1.5);
    expect(bench.last?.kind).toBe("unmatched");
  });
  test("the meter's HOLD key says yes at once, and its frozen number is not read", () => {
    const bench = askedAt(19.8);
    bench.show(19.8, 0.5, ["hold"]);
    expect(bench.last).toMatchObject({ kind: "taken", taken: { how: "hold-key" } });
    const count = bench.heard.length;
    bench.show(19.8, 3, ["hold"]);
    expect(bench.heard).toHaveLength(count);
  });
  test("another value before the answer is a reading of its own", () => {
    const bench = askedAt(19.8);
    bench.show(12.1, 2);
    expect(bench.last).toMatchObject({ kind: "held", held: { quantity: "voltage", from: null } });
  });
  test("a declared place is taken without a question, a dead circuit by the HOLD key", () => {
    const bench = new Bench();
    bench.probing.declare(first);
    bench.show(0, 1);
    bench.show(19.8, 1.5);
    expect(bench.last).toMatchObject({ kind: "taken", taken: { how: "declared" } });
    bench.show(0, 1);
    bench.probing.declare(second);
    bench.show(0, 3);
    expect(bench.heard.filter(({ kind }) => kind === "taken")).toHaveLength(1);
    bench.show(0, 0.5, ["hold"]);
    expect(bench.last).toMatchObject({ kind: "taken", taken: { held: { value: 0 } } });
  });
});

describe("the trigger is told by the edge, while the probes stay", () => {
  /** The pack at rest was taken, and now the reading has dropped. */
  function dropped(): Bench {
    const bench = askedAt(19.8);
    bench.show(19.8, 4);
    expect(bench.last?.kind).toBe("taken");
    bench.show(17.9, 1.2);
    expect(bench.last).toMatchObject({ kind: "held", held: { from: { probe: first.probe } } });
    offered(bench, [squeezed]);
    expect(bench.last).toMatchObject({ kind: "ask", by: "letting-go" });
    return bench;
  }

  test("letting go says yes, and the reading at rest is not asked for again", () => {
    const bench = dropped();
    bench.show(19.8, 1.2);
    expect(bench.last).toMatchObject({
      kind: "taken",
      taken: { how: "let-go", place: squeezed, held: { value: 17.9 } },
    });
    const count = bench.heard.length;
    bench.show(19.8, 5);
    expect(bench.heard).toHaveLength(count);
  });
  test("staying says yes too", () => {
    const bench = dropped();
    bench.show(17.9, 4);
    expect(bench.last).toMatchObject({ kind: "taken", taken: { how: "stayed", place: squeezed } });
  });
  test("lifting says no: nothing is taken for a trigger that was not touched", () => {
    const bench = dropped();
    bench.show(0, 1);
    expect(bench.last?.kind).toBe("refused");
    expect(bench.heard.filter(({ kind }) => kind === "taken")).toHaveLength(1);
  });
  test("after a lift the same drop is a reading at a place that nobody knows", () => {
    const bench = askedAt(19.8);
    bench.show(19.8, 4);
    bench.show(0, 1);
    bench.show(17.9, 1.5);
    expect(bench.last).toMatchObject({ kind: "held", held: { from: null } });
  });
});

describe("the HOLD key with nothing on the probes", () => {
  function pressed(): Bench {
    const bench = new Bench();
    bench.show(0, 2);
    bench.show(0, 0.5, ["hold"]);
    bench.show(0, 0.5);
    expect(bench.last).toMatchObject({ kind: "held", held: { value: 0, dead: true } });
    offered(bench, [first, second, squeezed]);
    expect(bench.last).toMatchObject({ kind: "ask", by: "key", at: 0 });
    return bench;
  }

  test("pressed once more takes a dead circuit at the likeliest place", () => {
    const bench = pressed();
    bench.show(0, 0.5, ["hold"]);
    expect(bench.last).toMatchObject({
      kind: "taken",
      taken: { how: "hold-key", place: first, held: { value: 0 } },
    });
  });
  test("waiting says no: the next place, then whether the proposal goes on, then nothing", () => {
    const bench = pressed();
    bench.show(0, 6.5);
    expect(bench.last).toMatchObject({ kind: "ask", at: 1 });
    bench.show(0, 6.5);
    expect(bench.last?.kind).toBe("ask-go-on");
    bench.show(0, 6.5);
    expect(bench.last?.kind).toBe("refused");
    expect(bench.heard.some(({ kind }) => kind === "go-on" || kind === "taken")).toBe(false);
  });
  test("yes to the proposal", () => {
    const bench = pressed();
    bench.show(0, 13);
    expect(bench.last?.kind).toBe("ask-go-on");
    bench.show(0, 0.5, ["hold"]);
    expect(bench.last?.kind).toBe("go-on");
  });
  test("a touch is another answer", () => {
    const bench = pressed();
    bench.show(19.8, 1.5);
    expect(bench.last).toMatchObject({ kind: "held", held: { dead: false } });
    bench.show(0, 8);
    expect(bench.heard.at(-1)?.kind).not.toBe("ask-go-on");
  });
  test("nothing on the probes for a while is said once", () => {
    const bench = new Bench();
    bench.show(0, 40);
    expect(bench.heard.filter(({ kind }) => kind === "waiting")).toHaveLength(1);
  });
});

describe("on the practice bench, a broken red lead", () => {
  const plan = bundledPlan("cordless-brushed");
  let run: PracticeRun;
  beforeAll(async () => {
    run = await practiceRun({ plan, faults: ["lead-red-broken"], seed: 5 });
  });

  /** What free probing makes of a step's own readings when only the steps before are known. */
  function probedLike(id: string): { asked: string[]; events: FreeEvent[] } {
    const reasoner = new PathReasoner(plan, { cells: 5 });
    const result = run.results.get(id)!;
    for (const step of plan.steps) {
      if (step.id === id) break;
      const before = run.results.get(step.id);
      if (before) reasoner.take(before);
    }
    const probing = new FreeProbing();
    const events: FreeEvent[] = [];
    const asked: string[] = [];
    const hear = (event: FreeEvent): void => {
      events.push(event);
      if (event.kind !== "held") return;
      const matches = reasoner.matches(event.held);
      asked.push(...matches.map(({ probe }) => `${probe.red} ${probe.black} ${probe.condition}`));
      probing.offer(event.held, matches).forEach(hear);
    };
    const own = run.readings.filter(
      ({ time_s }) => time_s > result.started_s - 1 && time_s <= result.ended_s,
    );
    own.forEach((reading) => probing.push(reading).forEach(hear));
    // The simulated hand leaves as soon as the plan has heard enough; who probes freely stays.
    const last = own.at(-1)!;
    for (let n = 1; n <= 8; n += 1) {
      probing.push({ ...last, time_s: last.time_s + n * 0.3 }).forEach(hear);
    }
    return { asked, events };
  }

  test.each([
    ["pack-open", "pack-plus pack-minus"],
    ["charger-output", "charger-plus charger-minus"],
    ["lead-black", "lead-black-end brush-b"],
  ])("the readings of %s are matched to their points", (id, points) => {
    const { asked } = probedLike(id);
    const at = asked.findIndex((one) => one.startsWith(points));
    expect(at, asked.slice(0, 6).join("; ")).toBeGreaterThanOrEqual(0);
    expect(at).toBeLessThan(6);
  });
});

test("a place is named without what has to be done to measure there", () => {
  const places = new PathReasoner(bundledPlan("cordless-brushed"), { cells: 5 }).places();
  const loose = places.filter(({ words }) => words.startsWith("Take the motor leads off"));
  expect(loose.length).toBeGreaterThan(0);
  for (const { place } of places) expect(place).toMatch(/^from [^.]+ to [^.]+\)$/);
});

test("a reading taken freely counts for the parts, and one at the same place replaces it", () => {
  const reasoner = new PathReasoner(bundledPlan("cordless-brushed"), { cells: 5 });
  const at = { quantity: "resistance", red: "switch-out-plus", black: "brush-a" } as const;
  const odds = (): number =>
    reasoner.path().parts.find(({ id }) => id === "lead-red")?.odds ?? Number.NaN;
  reasoner.recall({ ...at, condition: "pack-out", value: null });
  expect(odds()).toBeGreaterThan(0.5);
  reasoner.recall({ ...at, condition: "pack-out", value: 0.3 });
  expect(odds()).toBeLessThan(0.02);
});
