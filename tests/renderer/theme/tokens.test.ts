import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { contrast, DEFICIENCIES, difference, fromHex, lab, seenWith } from "./colour.js";

const css = readFileSync("renderer/theme/tokens.css", "utf8");

/** The colours of one theme, by token. */
function colours(theme: string): Readonly<Record<string, string>> {
  const block =
    new RegExp(`data-theme="${theme}"\\] \\{([^}]*--paper[^}]*)\\}`).exec(css)?.[1] ?? "";
  const found = block.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g);
  return Object.fromEntries(Array.from(found, ([, name = "", hex = ""]) => [name, hex]));
}

describe("the tools of this test", () => {
  it("gives the contrast of white and black that WCAG 2.2 states", () => {
    expect(contrast("#ffffff", "#000000")).toBeCloseTo(21, 6);
  });
  it("has the contrast of #767676 on white just above 4.5, as the W3C's techniques use it", () => {
    // WCAG 2.2 technique G18 and its worked examples: #767676 is the lightest grey that passes.
    expect(contrast("#767676", "#ffffff")).toBeGreaterThan(4.5);
    expect(contrast("#777777", "#ffffff")).toBeLessThan(4.5);
  });
  it("puts white at L* 100, a* 0, b* 0 (ISO/CIE 11664-4)", () => {
    const [l, a, b] = lab([1, 1, 1]);
    expect(l).toBeCloseTo(100, 3);
    expect(Math.hypot(a, b)).toBeLessThan(0.02);
  });
  it.each(Object.entries(DEFICIENCIES))("keeps greys grey under %s", (_, matrix) => {
    for (const row of matrix) expect(row[0] + row[1] + row[2]).toBeCloseTo(1, 5);
  });
});

describe.each(["light", "dark", "bench"])("the %s theme", (theme) => {
  const of = colours(theme);
  const get = (token: string): string => of[token] ?? "no such token";
  const grounds = ["paper", "card"] as const;

  it.each(["ink", "soft", "now", "fault", "done"])("has --%s at 4.5:1 as text", (token) => {
    for (const ground of grounds)
      expect(contrast(get(token), get(ground))).toBeGreaterThanOrEqual(4.5);
  });
  it.each(["now", "fault"])("has words on --%s at 4.5:1", (token) => {
    expect(contrast(get("on-accent"), get(token))).toBeGreaterThanOrEqual(4.5);
  });
  it("has --rule at 3:1 as a stroke", () => {
    for (const ground of grounds)
      expect(contrast(get("rule"), get(ground))).toBeGreaterThanOrEqual(3);
  });

  const pairs = [
    ["now", "fault"],
    ["now", "done"],
    ["fault", "done"],
    ["now", "ink"],
    ["fault", "ink"],
    ["done", "ink"],
  ] as const;
  for (const [name, matrix] of Object.entries(DEFICIENCIES)) {
    it.each(pairs)(`tells --%s from --%s under ${name}`, (one, other) => {
      const seen = (token: string) => seenWith(matrix, fromHex(get(token)));
      // Eight times what is just noticeable: told apart across a bench, not only side by side.
      expect(difference(seen(one), seen(other))).toBeGreaterThan(18.4);
    });
  }
});
