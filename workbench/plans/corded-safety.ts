import { dead, OPENED } from "./corded-outside.js";
import { REPAIR_TEST } from "./sources.js";
import { ohms, task } from "./steps.js";
import type { StepInput } from "./steps.js";

const classOne = [{ step: "earthed", verdict: "pass" }] as const;
/** A hand-held meter finds a break; it does not replace the tester that the standard asks for. */
const TESTER =
  "The standard asks for a tester with at least 0.2 A (EN 61557-4); a multimeter only finds a break";

/** What a multimeter can say of protective conductor and insulation, and what it cannot; closing up. */
export const cordedSafety: readonly StepInput[] = [
  {
    ...ohms("earth", "Protective conductor", {
      instruction: `Unplugged. Red on the earth contact of the plug, black on bare metal. Move the cord meanwhile. ${TESTER}.`,
      cautions: ["mains"],
      needs: [...classOne],
      red: "plug-earth",
      black: "body",
      condition: OPENED,
      high: "testLeads_ohm + min(1, 0.3 + 0.1 * max(0, (cord_m - 5) / 7.5))",
      source: `0.3 Ω up to 5 m of cord, 0.1 Ω more for each further 7.5 m, at most 1 Ω: ${REPAIR_TEST}`,
      pass: "The protective conductor is not broken.",
      fail: "The protective conductor is interrupted or poor: the tool must not be handed back.",
    }),
    rule: "simple",
  },
  ohms("insulation", "Insulation against touchable metal, gross faults only", {
    instruction:
      "Unplugged, switch squeezed. Red on the live pin, black on bare metal. The standard asks for an insulation tester with 500 V DC (EN 61557-2); a multimeter only finds gross faults.",
    cautions: ["mains"],
    needs: [...dead],
    red: "plug-live",
    black: "body",
    condition: { ...OPENED, trigger: "squeezed" },
    low: "insulation_ohm",
    source: `1 MΩ class I, 2 MΩ class II: ${REPAIR_TEST}`,
    pass: "No gross fault of insulation. This is no insulation test: a few volts do not show what fails at 500.",
    fail: "The insulation has failed: the tool must not be handed back.",
  }),
  task("close-case", "Close the case", {
    instruction:
      "Put the half of the case back, leads in their seats, screws done up; none may be left over. Touch the probe tips together.",
    cautions: ["mains"],
    sets: { case: "closed" },
    putsBack: ["open-case"],
  }),
  {
    kind: "look",
    id: "test-after-repair",
    title: "Test after repair, by a qualified person",
    instruction: `Local codes say who may do this. With a tester: protective conductor (class I) 0.3 Ω up to 5 m of cord; insulation at 500 V DC 1 MΩ (class I), 2 MΩ (class II); protective conductor current 3.5 mA, touch current 0.5 mA; then function. ${REPAIR_TEST}.`,
    cautions: ["mains"],
    choices: [
      { id: "open", label: "not done yet: the tool stays here", verdict: "not-judged" },
      { id: "passed", label: "passed, and recorded with the tester", verdict: "pass" },
      { id: "failed", label: "failed: the tool is not handed back", verdict: "fail" },
    ],
  },
];
