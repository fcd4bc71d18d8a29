import { expect, test } from "vitest";
import { predictorOf } from "../../../workbench/diagnosis/power-path.js";
import { SWITCH_OUT, meter, model } from "./bench.js";

test("two opens in one loop leave the island between them certain to read nothing", () => {
  const tool = model();
  const predictor = predictorOf(tool);
  const reading = meter(tool).volts(SWITCH_OUT, "squeezed", 0);
  expect(reading.kind).toBe("measured");
  if (reading.kind !== "measured") return;
  const names = tool.parts.map(({ id }) => id);
  const open = predictor.doubles.filter(
    (one) =>
      one.faults.length === 2 &&
      one.faults.every(({ mode }) => mode.id === "open") &&
      one.parts.map((part) => names[part]).join(" ") === "switch lead-red",
  );
  expect(open.length).toBeGreaterThan(1);
  for (const one of open) {
    const { mean, loads } = predictor.predict(reading, one);
    expect(Math.abs(mean)).toBeLessThan(0.05);
    // What is not known of the tool moves it by less than a meter's noise.
    for (const place of loads.places) expect(Math.abs(loads.all[place] ?? 0)).toBeLessThan(0.05);
  }
});
