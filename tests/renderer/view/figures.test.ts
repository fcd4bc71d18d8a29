import { describe, expect, it } from "vitest";
import { ageText, figureText } from "../../../renderer/view/figures.js";

const space = "\u202f";

describe("a figure for people", () => {
  it.each([
    [19.84, "V", 0.01, `19.84${space}V`],
    [-0.02, "V", 0.01, `\u22120.02${space}V`],
    [0, "V", 0.001, `0.000${space}V`],
    [4700, "Ω", 10, `4.70${space}kΩ`],
    [0.0042, "V", 0.0001, `4.2${space}mV`],
    [1.2e-7, "F", 1e-9, `120${space}nF`],
    [23.5, "°C", 0.1, `23.5${space}°C`],
    [0.25, "Ω", 0.01, `0.25${space}Ω`],
  ])("keeps the places that the meter resolved: %d %s", (value, unit, resolution, text) => {
    expect(figureText(value, unit, resolution)).toBe(text);
  });
  it("has four significant figures where the resolution is not known", () => {
    expect(figureText(17.5, "V")).toBe(`17.50${space}V`);
    expect(figureText(0.1, "Ω")).toBe(`0.1000${space}Ω`);
  });
  it("leaves out the unit that is not there", () => {
    expect(figureText(3, "", 1)).toBe("3");
  });
});

describe("an age", () => {
  it.each([
    [0.24, "0.2 s"],
    [12.4, "12 s"],
    [180, "3 min"],
    [9000, "3 h"],
    [-0.1, "0.0 s"],
  ])("of %d s reads %s", (age_s, text) => {
    expect(ageText(age_s)).toBe(text);
  });
});
