import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { LeadhandError } from "../../../protocols/error.js";
import { parseFormula } from "../../../workbench/plan/formula.js";
import type { FormulaScope } from "../../../workbench/plan/formula.js";

const scope: FormulaScope = {
  data: (name) => (name === "cells" ? 5 : name === "rated_V" ? 18 : null),
  result: ({ step, detail }) =>
    step === "pack-open" ? 19.84 : step === "pack-sag" && detail === "floor" ? 15.6 : null,
};
const valueOf = (text: string) => parseFormula(text).evaluate(scope);

describe("limit formulas", () => {
  it.each([
    ["cells * 3.5", 17.5],
    ['result("pack-open") - 0.3', 19.54],
    ['result("pack-sag", "floor")', 15.6],
    ["max(1, min(cells, 7), abs(-4))", 5],
    ["2 ^ 3 ^ 2", 512],
    ['first(result("never-run"), 1/0, cells)', 5],
    ["1e-3 + 0.5", 0.501],
    ["-(cells)", -5],
  ])("%s", (text, expected) => {
    expect(valueOf(text)).toBeCloseTo(expected, 12);
  });

  it("has no value where a result is missing or the arithmetic has none", () => {
    expect(valueOf('result("never-run") * 2')).toBeNull();
    expect(valueOf("1 / 0")).toBeNull();
    expect(valueOf("unheard_of + 1")).toBeNull();
  });

  it("lists what it uses, so that a plan can be checked before it runs", () => {
    const formula = parseFormula('min(cells * 3, result("a-step", "floor")) + result("b-step")');
    expect(formula.names).toEqual(["cells"]);
    expect(formula.results).toEqual([
      { step: "a-step", detail: "floor" },
      { step: "b-step", detail: null },
    ]);
  });

  it.each([
    "",
    "1 +",
    "cells.constructor",
    "cells[0]",
    "constructor()",
    "toString(1)",
    "result(pack)",
    "result()",
    "min()",
    "abs(1, 2)",
    "this",
    "'text'",
    "cells = 4",
    "cells > 4",
    "a b",
    "1; 2",
    "[1, 2]",
    "-2^2",
    "`x`",
    "(".repeat(200),
    "1+".repeat(400) + "1",
  ])("refuses %s with plan/formula", (text) => {
    expect(() => parseFormula(text)).toThrow(LeadhandError);
    expect(() => parseFormula(text)).toThrow("[plan/formula]");
  });

  // Outside check: the same expression, with ** for ^, evaluated by the JavaScript engine itself
  // (ECMA-262 arithmetic on IEEE 754 doubles).
  it("agrees with the engine's own arithmetic on generated expressions", () => {
    const leaf = fc.integer({ min: 1, max: 99 }).map((value) => String(value / 8));
    const expression = fc.letrec<{ e: string }>((tie) => ({
      e: fc.oneof(
        { maxDepth: 4, depthIdentifier: "e" },
        leaf,
        fc.tuple(tie("e"), fc.constantFrom("+", "-", "*", "/"), tie("e")).map((t) => t.join(" ")),
        tie("e").map((inner) => `(${inner})`),
        fc.tuple(leaf, fc.constantFrom("2", "0.5")).map((t) => t.join(" ^ ")),
      ),
    })).e;
    fc.assert(
      fc.property(expression, (text) => {
        // eslint-disable-next-line @typescript-eslint/no-implied-eval, @typescript-eslint/no-unsafe-call
        const reference = new Function(`return ${text.replaceAll("^", "**")}`)() as number;
        expect(valueOf(text)).toBe(Number.isFinite(reference) ? reference : null);
      }),
      { seed: 20261125, numRuns: 500 },
    );
  });

  it("never throws anything but its own error on any text", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 80 }), (text) => {
        try {
          parseFormula(text);
        } catch (thrown) {
          expect(thrown).toBeInstanceOf(LeadhandError);
        }
      }),
      { seed: 7, numRuns: 2000 },
    );
  });
});
