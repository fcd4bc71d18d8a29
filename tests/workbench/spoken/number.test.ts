import { describe, expect, it } from "vitest";
import { limitWords, numberWords, valueWords } from "../../../workbench/spoken/number.js";

describe("numbers as people say them", () => {
  it.each([
    ["0", "zero"],
    ["-17.94", "minus seventeen point nine four"],
    ["20.05", "twenty point zero five"],
    ["121", "one hundred twenty-one"],
    ["1000", "one thousand"],
    ["999999", "nine hundred ninety-nine thousand nine hundred ninety-nine"],
  ])("%s: %s", (digits, words) => {
    expect(numberWords(digits)).toBe(words);
  });

  it.each([
    [{ value: 17.94, unit: "V", resolution: 0.01 }, "seventeen point nine four volts"],
    [{ value: -0.001, unit: "V", resolution: 0.01 }, "zero point zero zero volts"],
    [{ value: 0.3, unit: "Ω", resolution: 0.1 }, "zero point three ohms"],
    [{ value: 0.0234, unit: "V", resolution: 0.0001 }, "twenty-three point four millivolts"],
    [{ value: 2_000_000, unit: "Ω", resolution: 1000 }, "two point zero zero zero megaohms"],
    [{ value: 4.7e-6, unit: "F", resolution: null }, "four point seven zero microfarads"],
    [{ value: null, unit: "Ω", overload: true }, "open circuit"],
    [{ value: null, unit: "V", overload: "negative" }, "over range"],
    [{ value: 98.2, unit: "%", resolution: 0.1 }, "ninety-eight point two percent"],
  ] as const)("%j: %s", (spoken, words) => {
    expect(valueWords(spoken)).toBe(words);
  });

  it("says limits without digits that they do not have", () => {
    expect(limitWords(17.5, "V")).toBe("seventeen point five volts");
    expect(limitWords(15.939999999, "V")).toBe("fifteen point nine four volts");
    expect(limitWords(0.3, "V")).toBe("zero point three volts");
    expect(limitWords(0.00025, "A")).toBe("two hundred fifty microamps");
    expect(limitWords(1e6, "Ω")).toBe("one megaohms");
  });
});
