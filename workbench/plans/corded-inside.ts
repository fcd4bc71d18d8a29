import { dead, empty, OPENED, plain } from "./corded-outside.js";
import { PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

/** From the cord to the brushes. */
const path: readonly StepInput[] = [
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
  volts("inside-dead", "Inside, no voltage left", {
    instruction:
      "Unplugged, switch released. Touch nothing yet. Red on switch input live, black on switch input neutral.",
    cautions: ["mains", "capacitor"],
    needs: [...empty],
    red: "switch-in-live",
    black: "switch-in-neutral",
    condition: OPENED,
    high: 34,
    source: "34 V one second after unplugging, IEC 60335-1, 22.5 (from memory)",
    pass: "The capacitor is empty, also behind a broken cord.",
    fail: "The capacitor holds its charge: keep off, and let a licensed person discharge it.",
  }),
  ohms("cord-live", "Cord, live", {
    instruction:
      "Unplugged. Red on the live pin, black on switch input live. Bend the cord along its length meanwhile.",
    needs: [...dead],
    red: "plug-live",
    black: "switch-in-live",
    condition: OPENED,
    high: "testLeads_ohm + 1.5",
    pass: "The live conductor of the cord is whole.",
    fail: "The live conductor is broken, usually at the plug or at the sleeve; or the fuse in the plug has blown.",
  }),
  ohms("cord-neutral", "Cord, neutral", {
    instruction:
      "Unplugged. Red on the neutral pin, black on switch input neutral. Bend the cord along its length meanwhile.",
    needs: [...dead],
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
    needs: [...dead, plain],
    red: "switch-in-live",
    black: "switch-out-live",
    condition: { ...OPENED, trigger: "worked" },
    watch: { kind: "change", window_s: 0.6, times: 1 },
    high: "testLeads_ohm + 1.5",
    pass: "The switch closes and opens.",
    fail: "The live pole of the switch does not close, does not open, or is burnt.",
  }),
  ohms("switch-neutral", "Switch, neutral pole, squeezed", {
    instruction:
      "Unplugged. Squeeze the switch and hold it. Red on switch input neutral, black on switch output neutral.",
    needs: [...dead, plain],
    red: "switch-in-neutral",
    black: "switch-out-neutral",
    condition: { ...OPENED, trigger: "squeezed" },
    high: "testLeads_ohm + 1.5",
    pass: "The neutral side of the switch conducts.",
    fail: "The neutral pole of the switch does not close, or is burnt.",
  }),
  ohms("field", "Field winding", {
    instruction:
      "Unplugged, switch released. Red on the switch end of the field winding, black on its brush end.",
    needs: [...dead],
    red: "field-in",
    black: "field-out",
    condition: OPENED,
    low: "rated_V ^ 2 / rated_W * 0.012",
    high: "rated_V ^ 2 / rated_W / 2",
    source: `a few hundredths of U²/P; where there are two halves, both alike: ${PRACTICE}`,
    pass: "The field winding conducts.",
    fail: "The field winding is open or shorted.",
  }),
  ohms("motor-sweep", "Armature through the brushes, turned", {
    instruction:
      "Unplugged, switch released. Red on brush A, black on brush B. Turn the shaft slowly by hand, a little at a time, with rests.",
    needs: [...dead],
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
];

/** Brushes or armature: only where the motor did not conduct at every angle; and the spindle. */
const armature: readonly StepInput[] = [
  task("brushes-out", "Take the brushes out", {
    instruction: "Unplugged. Take both brushes out; mark which was where and which way round.",
    needs: [...dead, { step: "motor-sweep", verdict: "not-pass" }],
    removes: { what: "both brushes", from: "brush holders", fasteners: 2, fastenerKind: "cap" },
  }),
  ohms("commutator", "Armature at its commutator, turned", {
    instruction:
      "Unplugged. Through the empty brush holders: red on the commutator at A, black at B. Turn the shaft slowly by hand, a little at a time, with rests.",
    needs: [...dead, { step: "brushes-out", verdict: "any" }],
    red: "commutator-a",
    black: "commutator-b",
    condition: { ...OPENED, shaft: "turned-by-hand" },
    watch: { kind: "sweep", duration_s: 20 },
    high: "rated_V ^ 2 / rated_W / 2",
    pass: "The armature conducts at every angle: the brushes are at fault.",
    fail: "The armature is open, or open at some bars.",
  }),
  {
    kind: "look",
    id: "armature-bars",
    title: "Armature, bar to bar",
    instruction:
      "Meter on ohms. Go from each bar of the commutator to the next, all the way round. Are all alike within a tenth?",
    cautions: ["power-off-for-ohms"],
    needs: [...dead, { step: "brushes-out", verdict: "any" }],
    choices: [
      { id: "alike", label: "all alike", verdict: "pass" },
      { id: "open", label: "open, or far higher, between some", verdict: "fail" },
      { id: "low", label: "far lower between some: shorted turns", verdict: "fail" },
    ],
    photo: true,
  },
  task("brushes-in", "Put the brushes in", {
    instruction: "Put the brushes back as they were, or new ones; both must slide freely.",
    needs: [{ step: "brushes-out", verdict: "any" }],
    putsBack: ["brushes-out"],
  }),
  {
    kind: "look",
    id: "chuck-turn",
    title: "Spindle, turned by hand",
    instruction: "Unplugged. Turn the spindle once round by hand and feel.",
    cautions: ["mains"],
    choices: [
      { id: "free", label: "it turns freely and takes the motor along", verdict: "pass" },
      { id: "rough", label: "it is rough or grinds", verdict: "fail" },
      { id: "stuck", label: "it does not turn", verdict: "fail" },
      { id: "loose", label: "it turns and takes nothing along", verdict: "fail" },
    ],
  },
];

export const cordedInside: readonly StepInput[] = [...path, ...armature];
