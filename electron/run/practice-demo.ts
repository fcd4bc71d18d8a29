import { accuracySchema } from "../../workbench/measurement/accuracy.js";

/** Invented, and looks it. */
export const PRACTICE_TOOL = {
  make: "Practice Bench",
  model: "Simulated drill 18",
  serial: "DEMO-0001",
  complaint: "Does not start (simulated)",
};

/** The simulated meter's accuracy: invented, of the size that hand-held meters state. */
export const PRACTICE_ACCURACY = accuracySchema.parse({
  meter: "Simulated meter, four digits",
  // It does not age.
  calibrated: "2000-01-01",
  valid_months: 1200,
  lines: [
    { quantity: "voltage", coupling: "dc", percentOfReading: 0.5, counts: 3 },
    { quantity: "voltage", coupling: "ac", percentOfReading: 1, counts: 5 },
    { quantity: "current", percentOfReading: 1.5, counts: 5 },
    { quantity: "resistance", percentOfReading: 0.8, counts: 3 },
    { quantity: "continuity", percentOfReading: 0.8, counts: 3 },
    { quantity: "diode", percentOfReading: 1, counts: 3 },
  ],
});
