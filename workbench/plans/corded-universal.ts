import type { PlanInput } from "../plan/schema.js";
import { knownData, knownPoints, leadData, meterProof } from "./common.js";
import { PRACTICE, REPAIR_TEST } from "./sources.js";
import { ohms, task, volts } from "./steps.js";

const OPENED = { case: "open" } as const;
const empty = [{ step: "plug-dead", verdict: "pass" }] as const;
const classOne = [{ step: "earthed", verdict: "pass" }] as const;
/** A hand-held meter finds a break; it does not replace the tester that the standard asks for. */
const TESTER =
  "The standard asks for a tester with at least 0.2 A (EN 61557-4); a multimeter only finds a break";

/**
 * Corded tool with a universal motor, mains unplugged throughout. What may be repaired, tested and
 * handed back by whom is for local codes and licensed practice; this plan finds the fault, and its
 * limits of protective conductor and insulation do not replace the test after repair.
 */
export const cordedUniversal: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "corded-universal",
  title: "Corded tool, universal motor, unplugged",
  revision: "2026-11-25",
  tool: {
    kind: "corded-universal",
    data: {
      ...knownData,
      ...leadData,
      rated_V: { label: "Rated voltage", unit: "V", default: 230 },
      rated_W: { label: "Rated power", unit: "W", default: 800 },
      cord_m: { label: "Length of the cord", unit: "m", default: 4 },
      insulation_ohm: {
        label: "Least insulation: 2 MΩ double insulated (class II), 1 MΩ earthed (class I)",
        unit: "Ω",
        default: 2e6,
      },
    },
  },
  points: [
    ...knownPoints,
    { id: "plug-live", label: "live pin of the plug", part: "cord" },
    { id: "plug-neutral", label: "neutral pin of the plug", part: "cord" },
    { id: "plug-earth", label: "earth contact of the plug", part: "cord" },
    { id: "switch-in-live", label: "switch input live", part: "switch" },
    { id: "switch-in-neutral", label: "switch input neutral", part: "switch" },
    { id: "switch-out-live", label: "switch output live", part: "switch" },
    { id: "switch-out-neutral", label: "switch output neutral", part: "switch" },
    { id: "field-in", label: "field winding, switch end", part: "field" },
    { id: "field-out", label: "field winding, brush end", part: "field" },
    { id: "brush-a", label: "brush A", part: "brushes" },
    { id: "brush-b", label: "brush B", part: "brushes" },
    { id: "body", label: "bare metal that can be touched", part: "body" },
  ],
  steps: [
    task("unplug", "Pull the plug", {
      instruction:
        "Pull the plug out of the wall and lay it where you can see it. It stays out to the end of this plan.",
      cautions: ["mains"],
      sets: { mains: "unplugged" },
    }),
    {
      kind: "look",
      id: "earthed",
      title: "Earthed or double insulated",
      instruction:
        "Look at plug and rating plate: earth contact (class I), or a square in a square (class II)?",
      cautions: ["mains"],
      choices: [
        { id: "class-one", label: "earthed, class I", verdict: "pass" },
        { id: "class-two", label: "double insulated, class II", verdict: "not-judged" },
      ],
      photo: true,
    },
    meterProof,
    {
      kind: "wait",
      id: "discharge",
      title: "Let the suppression capacitor empty itself",
      instruction: "Wait ten seconds; keep off the pins of the plug.",
      cautions: ["capacitor"],
      duration_s: 10,
    },
    volts("plug-dead", "Plug, no voltage left", {
      instruction: "Unplugged. Red on the live pin, black on the neutral pin of the plug.",
      cautions: ["mains", "capacitor"],
      red: "plug-live",
      black: "plug-neutral",
      high: 34,
      source: "34 V one second after unplugging, IEC 60335-1, 22.5 (from memory)",
      pass: "The plug is dead: ohms may be measured.",
      fail: "A capacitor holds its charge: keep off, and let a licensed person discharge it.",
    }),
    ohms("through", "Plug to plug, switch squeezed", {
      instruction:
        "Unplugged. Squeeze the switch and hold it. Red on the live pin, black on the neutral pin.",
      cautions: ["mains"],
      needs: [...empty],
      red: "plug-live",
      black: "plug-neutral",
      condition: { trigger: "squeezed" },
      low: 1,
      high: "rated_V ^ 2 / rated_W",
      source: `less at rest than U²/P, because a running motor also makes back-EMF; a short below 1 Ω: ${PRACTICE}`,
      pass: "Cord, switch, field, brushes and armature conduct as a whole.",
      fail: "Something between the pins is open or shorted: the next steps find it.",
    }),
    task("open-case", "Open the case", {
      instruction:
        "Plug out and in sight. Undo the case screws and lift the half of the case off; leave all leads in their seats.",
      cautions: ["mains", "capacitor"],
      sets: { case: "open" },
      removes: {
        what: "half of the case",
        from: "case",
        fasteners: 8,
        fastenerKind: "hexalobular screw, size 15",
      },
    }),
    ohms("cord-live", "Cord, live", {
      instruction:
        "Unplugged. Red on the live pin, black on switch input live. Bend the cord along its length meanwhile.",
      needs: [...empty],
      red: "plug-live",
      black: "switch-in-live",
      condition: OPENED,
      high: "testLeads_ohm + 1.5",
      pass: "The live conductor of the cord is whole.",
      fail: "The live conductor is broken: usually at the plug or at the sleeve.",
    }),
    ohms("cord-neutral", "Cord, neutral", {
      instruction:
        "Unplugged. Red on the neutral pin, black on switch input neutral. Bend the cord along its length meanwhile.",
      needs: [...empty],
      red: "plug-neutral",
      black: "switch-in-neutral",
      condition: OPENED,
      high: "testLeads_ohm + 1.5",
      pass: "The neutral conductor of the cord is whole.",
      fail: "The neutral conductor is broken: usually at the plug or at the sleeve.",
    }),
    ohms("switch-works", "Switch, worked", {
      instruction:
        "Unplugged. Red on switch input live, black on switch output live. Squeeze the switch, hold it, let go.",
      needs: [...empty],
      red: "switch-in-live",
      black: "switch-out-live",
      condition: { ...OPENED, trigger: "worked" },
      watch: { kind: "change", window_s: 0.6, times: 1 },
      high: "testLeads_ohm + 1.5",
      pass: "The switch closes and opens.",
      fail: "The switch does not close, does not open, or is burnt. One with electronics conducts only under mains: judge it by what is left.",
    }),
    ohms("field", "Field winding", {
      instruction: "Unplugged. Red on the switch end of the field winding, black on its brush end.",
      needs: [...empty],
      red: "field-in",
      black: "field-out",
      condition: OPENED,
      low: 0.8,
      high: "rated_V ^ 2 / rated_W / 2",
      source: `a few ohms, two halves alike: ${PRACTICE}`,
      pass: "The field winding conducts.",
      fail: "The field winding is open or shorted.",
    }),
    ohms("motor-sweep", "Armature through the brushes, turned", {
      instruction:
        "Unplugged. Red on brush A, black on brush B. Turn the shaft slowly by hand, a little at a time, with rests.",
      needs: [...empty],
      red: "brush-a",
      black: "brush-b",
      condition: { ...OPENED, shaft: "turned-by-hand" },
      watch: { kind: "sweep", duration_s: 12 },
      high: "rated_V ^ 2 / rated_W / 2",
      pass: "Brushes and armature conduct at every angle.",
      fail: "A brush does not reach the commutator, or the armature is open at some angle.",
    }),
    {
      kind: "look",
      id: "brush-length",
      title: "Brushes",
      instruction:
        "Look at both brushes: length, spring, movement in the holder, colour of the commutator.",
      choices: [
        { id: "good", label: "long enough, free in the holder", verdict: "pass" },
        { id: "worn", label: "worn, stuck or broken", verdict: "fail" },
      ],
      photo: true,
    },
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
    ohms("insulation", "Insulation against touchable metal", {
      instruction:
        "Unplugged, switch squeezed. Red on the live pin, black on bare metal. The standard asks for an insulation tester with 500 V DC (EN 61557-2); a multimeter only finds gross faults.",
      cautions: ["mains"],
      needs: [...empty],
      red: "plug-live",
      black: "body",
      condition: { ...OPENED, trigger: "squeezed" },
      low: "insulation_ohm",
      source: `1 MΩ class I, 2 MΩ class II: ${REPAIR_TEST}`,
      pass: "No gross fault of insulation.",
      fail: "The insulation has failed: the tool must not be handed back.",
    }),
    task("close-case", "Close the case", {
      instruction:
        "Put the half of the case back, leads in their seats, screws done up; none may be left over. Before it is handed back the tool is tested after repair by a qualified person under local codes. Touch the probe tips together.",
      cautions: ["mains"],
      sets: { case: "closed" },
      putsBack: ["open-case"],
    }),
  ],
};
