import { meterProof } from "./common.js";
import { PRACTICE } from "./sources.js";
import { ohms, task, volts } from "./steps.js";
import type { StepInput } from "./steps.js";

/** Case open, nothing plugged. */
export const OPENED = { case: "open" } as const;
/** After the plug was found dead: ohms from outside. */
export const empty = [{ step: "plug-dead", verdict: "pass" }] as const;
/** A broken cord keeps the capacitor behind it from emptying over the plug, and from showing there. */
export const dead = [{ step: "inside-dead", verdict: "pass" }] as const;
/** Electronics of a speed wheel or a soft start conduct under mains only. */
export const plain = { step: "electronics", verdict: "pass" } as const;

/** Everything that is seen and measured before a corded tool is opened; unplugged throughout. */
export const cordedOutside: readonly StepInput[] = [
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
  {
    kind: "look",
    id: "cord-outside",
    title: "Plug, cord and housing, from outside",
    instruction:
      "Unplugged. Look at plug, cord, sleeve and housing; where the plug holds a fuse, take it out and look at it and its rating.",
    cautions: ["mains"],
    choices: [
      { id: "sound", label: "whole, and no fuse or a sound one", verdict: "pass" },
      { id: "fuse", label: "the fuse is blown or of a wrong rating", verdict: "fail" },
      { id: "damaged", label: "damaged, scorched or mended with tape", verdict: "fail" },
    ],
    photo: true,
  },
  {
    kind: "look",
    id: "electronics",
    title: "Plain switch or electronics",
    instruction:
      "Look at the tool: a plain on-off switch, or one with electronics (speed wheel, variable trigger, soft start)?",
    choices: [
      { id: "plain", label: "plain on-off switch", verdict: "pass" },
      { id: "electronic", label: "with electronics", verdict: "not-judged" },
    ],
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
  volts("meter-proof-after", "Prove the meter once more", {
    instruction: "After a dead reading. Red on known source plus, black on known source minus.",
    red: "known-plus",
    black: "known-minus",
    low: "knownSource_V * 0.9",
    high: "knownSource_V * 1.1",
    source: `${PRACTICE}; live-dead-live, NFPA 70E 120.5 (from memory)`,
    pass: "The dead reading can be believed.",
    fail: "The meter failed meanwhile: the dead reading proves nothing. Begin again with another meter.",
  }),
  ohms("plug-short", "Plug to plug, switch released", {
    instruction:
      "Unplugged, switch released. Red on the live pin, black on the neutral pin. The value may creep up while the capacitor charges.",
    cautions: ["mains", "capacitor"],
    needs: [...empty],
    red: "plug-live",
    black: "plug-neutral",
    low: 10e3,
    source: `a sound suppression capacitor with its discharge resistor shows hundreds of kilohms: ${PRACTICE}`,
    pass: "Cord and suppression capacitor are not shorted.",
    fail: "The suppression capacitor or the cord is shorted, or the switch does not open.",
  }),
  ohms("through", "Plug to plug, switch squeezed", {
    instruction:
      "Unplugged. Squeeze the switch and hold it. Red on the live pin, black on the neutral pin.",
    cautions: ["mains"],
    needs: [...empty, plain],
    red: "plug-live",
    black: "plug-neutral",
    condition: { trigger: "squeezed" },
    low: "rated_V ^ 2 / rated_W * 0.015",
    high: "rated_V ^ 2 / rated_W",
    source: `less at rest than U²/P, because a running motor also makes back-EMF; a short below 1.5 % of it: ${PRACTICE}`,
    pass: "Cord, switch, field, brushes and armature conduct as a whole.",
    fail: "Something between the pins is open or shorted: the next steps find it.",
  }),
];
