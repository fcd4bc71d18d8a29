import { describe, expect, it } from "vitest";
import { bandView, halfWidth } from "../../../renderer/view/band-view.js";
import { partWords, pathView, pointLabels } from "../../../renderer/view/path-view.js";
import { axisFor, markText, placed, roundMarks } from "../../../renderer/view/plot-axis.js";
import { plotPoints } from "../../../renderer/view/plot-view.js";
import { scaleView } from "../../../renderer/view/scale-view.js";
import {
  expectedWords,
  foundWords,
  remarks,
  shareText,
  verdictWord,
} from "../../../renderer/view/verdict-words.js";
import type { RecordedResult } from "../../../workbench/contract/events.js";
import { path, recorded } from "../scenario.js";

const s = "\u202f";

function result(value: number | null, more: Partial<RecordedResult> = {}): RecordedResult {
  const event = recorded("pack-open", "pass", value, more);
  if (event.type !== "recorded") throw new Error("not a record");
  return event.result;
}

describe("the settling band", () => {
  it("is wide and empty while the probes are lifted", () => {
    expect(bandView("lifted", null)).toEqual({ half: 1, filled: 0, words: "Probes lifted" });
  });
  it("narrows as the counts do and closes to a line when held", () => {
    const band = { low: 18, high: 18.2, counts: 20, filled: 0.3 };
    const wide = bandView("touching", band);
    const narrow = bandView("settling", { ...band, counts: 2, filled: 0.8 });
    const held = bandView("held", { ...band, counts: 1, filled: 1 });
    expect(wide.half).toBeGreaterThan(narrow.half);
    expect(narrow.half).toBeGreaterThan(held.half);
    expect(held).toEqual({ half: 0, filled: 1, words: "Held" });
    expect(narrow.words).toBe("Settling: moves by 2 counts");
  });
  it("never leaves its box", () => {
    expect(halfWidth(1e6)).toBe(1);
    expect(halfWidth(0)).toBe(0);
  });
});

describe("the scale", () => {
  const limits = { low: 17.5, high: 21 };
  const scale = (value: number | null, uncertainty: number | null = null) =>
    scaleView({ limits, unit: "V", value, uncertainty, resolution: 0.01 });

  it("puts the zone between the limits in the middle half", () => {
    expect(scale(19)?.zone).toEqual({ from: 0.25, to: 0.75 });
  });
  it("marks a value far outside at the edge, and says on which side", () => {
    expect(scale(0)?.beyond).toBe("low");
    expect(scale(0)?.value?.at).toBeLessThan(0.02);
    expect(scale(60)?.beyond).toBe("high");
  });
  it("lays the whisker across the limit of a borderline value", () => {
    const view = scale(17.46, 0.07);
    expect(view?.whisker?.from).toBeLessThan(view?.zone.from ?? 0);
    expect(view?.whisker?.to).toBeGreaterThan(view?.zone.from ?? 1);
  });
  it("runs a one-sided zone to the edge", () => {
    const low = scaleView({
      limits: { low: 5, high: null },
      unit: "V",
      value: 6,
      uncertainty: null,
      resolution: null,
    });
    expect(low?.zone.to).toBe(1);
    const high = scaleView({
      limits: { low: null, high: 2 },
      unit: "Ω",
      value: 0.2,
      uncertainty: null,
      resolution: null,
    });
    expect(high?.zone.from).toBe(0);
    expect(high?.value?.at).toBeCloseTo(0.2 / 3, 6);
  });
  it("marks what is off the meter's range at the edge on its side", () => {
    const at = (overload: boolean | "positive" | "negative") =>
      scaleView({ limits, unit: "V", value: null, overload, uncertainty: null, resolution: null })
        ?.value?.at;
    expect(at(true)).toBeGreaterThan(0.98);
    expect(at("negative")).toBeLessThan(0.02);
    expect(at(false)).toBeUndefined();
  });
  it("is not drawn without limits", () => {
    expect(
      scaleView({
        limits: { low: null, high: null },
        unit: "V",
        value: 1,
        uncertainty: null,
        resolution: null,
      }),
    ).toBeNull();
  });
});

describe("words of a verdict", () => {
  it("says limits as a person does", () => {
    expect(expectedWords({ low: 17.5, high: 21 }, "V", 0.01)).toBe(`17.50${s}V to 21.00${s}V`);
    expect(expectedWords({ low: null, high: 0.5 }, "Ω", 0.1)).toBe(`at most 0.5${s}Ω`);
    expect(expectedWords(null, "V")).toBe("no limits");
  });
  it("says the value with its uncertainty in the value's places", () => {
    expect(foundWords(result(19.84))).toBe(`19.84${s}V ± 0.07${s}V`);
    expect(foundWords(result(19.84, { uncertainty: 0.004 }))).toBe(`19.84${s}V ± 4.0${s}mV`);
  });
  it("says an open circuit and an over range", () => {
    expect(foundWords(result(null, { unit: "Ω", overload: true }))).toContain("open circuit");
    expect(foundWords(result(null, { unit: "V", overload: true }))).toBe("over range");
    expect(foundWords(result(null, { overload: false }))).toBe("no value");
  });
  it("tells what was done from what was skipped, and neither from what was not judged", () => {
    const skipped = "skipped: the tool is so already";
    expect(verdictWord({ verdict: "not-judged", reason: null }, "do")).toBe("DONE");
    expect(verdictWord({ verdict: "not-judged", reason: skipped }, "do")).toBe("SKIPPED");
    expect(verdictWord({ verdict: "not-judged", reason: skipped }, "measure")).toBe("NOT JUDGED");
  });
  it("says reversed probes, a proved zero and the risk", () => {
    const said = remarks(result(0, { polarity: "reversed", zero: "proved", risk: 0.021 }));
    expect(said).toEqual(["probes reversed", "zero proved", `risk of a wrong verdict 2.1${s}%`]);
  });
  it.each([
    [0, `0${s}%`],
    [0.0004, `under 0.1${s}%`],
    [0.5, `50${s}%`],
    [0.97, `97${s}%`],
    [0.9996, `over 99.9${s}%`],
    [1, `100${s}%`],
  ])("never says certain of what is not: %d", (share, words) => {
    expect(shareText(share)).toBe(words);
  });
});

describe("the power path", () => {
  it("keeps probe points behind their part and marks the next ones", () => {
    const view = pathView(path, null);
    expect(view.rows.map(({ part }) => part.id)).toEqual(path.parts.map(({ id }) => id));
    const marked = view.rows.flatMap(({ points }) => points.filter(({ probe }) => probe !== null));
    expect(marked.map(({ id, probe }) => [id, probe])).toEqual([
      ["switch-out", "red"],
      ["brush-b", "black"],
    ]);
  });
  it("says every state in words, the odds only of a suspect", () => {
    const part = { id: "p", label: "P", odds: 0.12, reason: null };
    expect(partWords({ ...part, state: "suspect" })).toBe(`suspect, 12${s}%`);
    expect(partWords({ ...part, state: "cleared" })).toBe("cleared");
    expect(partWords({ ...part, state: "condemned" })).toBe("at fault");
    expect(partWords({ ...part, state: "unknown" })).toBe("unknown");
    expect(partWords({ ...part, state: "unknown", tested: 0 })).toBe("unknown");
    expect(partWords({ ...part, state: "unknown", tested: 0.6 })).toBe("cleared in part");
  });
  it("marks the points of the running step before those of the next probe", () => {
    const view = pathView(path, { red: "brush A", black: "pack minus" });
    const marked = view.rows.flatMap(({ points }) => points.filter(({ probe }) => probe !== null));
    expect(marked.map(({ id, probe }) => [id, probe])).toEqual([["brush-a", "red"]]);
  });
  it("does not say the name of a place twice", () => {
    const point = (label: string) => ({ id: label, label, probe: null });
    expect(pointLabels([point("Pack plus"), point("Pack minus")])).toBe("Pack plus, minus");
    expect(pointLabels([point("Brush A")])).toBe("Brush A");
  });
});

describe("the plot", () => {
  const time_s = Array.from({ length: 1000 }, (_, at) => at / 10);
  const flat = time_s.map((t) => (t === 95 ? 3 : 1));

  it("keeps every peak when it thins out, and stays under the number of pixels", () => {
    const points = plotPoints({ time_s, low: flat, high: flat }, 30, 50);
    expect(points.length).toBeLessThanOrEqual(50);
    expect(Math.max(...points.flatMap(({ range }) => range ?? []))).toBe(3);
    expect(points[0]?.time_s).toBeGreaterThanOrEqual(69.9);
  });
  it("draws no line across a gap", () => {
    const gap = time_s.map((t) => (t > 90 && t < 92 ? null : 1));
    const points = plotPoints({ time_s, low: gap, high: gap }, 30, 50);
    expect(points.some(({ range }) => range === null)).toBe(true);
  });
  it("draws no line across the silence of a meter that was gone", () => {
    const times = time_s.filter((t) => t <= 80 || t > 88);
    const low = times.map(() => 1);
    const points = plotPoints({ time_s: times, low, high: low }, 30, 50);
    const gaps = points.filter(({ range }) => range === null);
    expect(gaps).toHaveLength(1);
    expect(gaps[0]?.time_s).toBeGreaterThan(80);
    expect(gaps[0]?.time_s).toBeLessThan(88);
  });
  it("is empty without a trace", () => {
    expect(plotPoints({ time_s: [], low: [], high: [] }, 30, 50)).toEqual([]);
  });
  it.each([
    [17.1, 19.95, 4, [18, 19]],
    [0, 0.0071, 4, [0, 0.002, 0.004, 0.006]],
    [-0.9, 22, 4, [0, 10, 20]],
    [1e6, 5e6, 2, [2e6, 4e6]],
  ])("marks its axis at round figures between %d and %d", (from, to, most, marks) => {
    expect(roundMarks(from, to, most)).toEqual(marks);
  });
  it("encloses the limits, keeps a flat line flat, and has an axis without anything", () => {
    const axis = axisFor([18, 19, 17.5], { marks: 4 });
    expect(axis.from).toBeLessThan(17.5);
    expect(axis.to).toBeGreaterThan(19);
    const flat = axisFor([20, 20.01], { marks: 4 });
    expect(flat.to - flat.from).toBeGreaterThan(0.2);
    expect(axisFor([], { marks: 4 }).marks.length).toBeGreaterThan(1);
  });
  it("draws ohms by decades when they run over more than two", () => {
    const axis = axisFor([0, 0.2, 4.7e5], { marks: 8, unit: "Ω" });
    expect(axis.marks.map((mark) => markText(axis, mark)).join(" ")).toBe(
      "0.1 1 10 100 1k 10k 100k 1M",
    );
    expect(placed(axis, 1000)).toBeCloseTo(3, 12);
    expect(placed(axis, 0)).toBeGreaterThan(axis.from);
    expect(axisFor([0, 4.7e5], { marks: 3, unit: "Ω" }).marks).toEqual([-1, 2, 5]);
    expect(axisFor([0.8, 1.5], { marks: 4, unit: "Ω" }).byDecades).toBe(false);
    expect(axisFor([0, 0.2, 4.7e5], { marks: 4, unit: "V" }).byDecades).toBe(false);
  });
  it("counts in kilo and mega where the figures would be long", () => {
    expect(axisFor([0, 4.2e6], { marks: 4 })).toMatchObject({
      scale: 1e6,
      prefix: "M",
    });
  });
});
