import type { BenchEvent, FreeStatus } from "../../workbench/contract/events.js";
import {
  begin,
  contact,
  failure,
  full,
  outline,
  packCaution,
  packLimits,
  path,
  recorded,
  run,
  start,
  volts,
} from "./scenario.js";

/** The choice of order, free probing, and what comes off a tool after a failed step. */
const cautions = [
  packCaution,
  {
    kind: "moving-tool",
    words:
      "The tool can start. Clamp it, no bit in the chuck, sleeves and fingers clear of the chuck and the gear train.",
  },
  {
    kind: "mains",
    words:
      "Mains voltage can kill. Only for a person trained and, where local codes ask for it, licensed for this work. Pull the plug before anything is opened.",
  },
];

const places = [
  "from pack plus to pack minus (pack in the tool, trigger squeezed).",
  "from charger plus to charger minus (charger plugged in, the pack on it).",
  "from tool terminal plus to tool terminal minus (pack in the tool, trigger squeezed).",
  "from switch input plus to switch input minus (pack in the tool, trigger squeezed).",
];

function free(more: Partial<FreeStatus>): BenchEvent {
  const status: FreeStatus = {
    on: true,
    places: places.map((words, id) => ({ id, words })),
    declared: null,
    words: "Touch any two points and hold still.",
    asking: false,
    cautions,
    matches: [],
    next: "Measure volts from switch output plus to switch output minus (pack in the tool, trigger squeezed).",
    taken: [],
    ...more,
  };
  return { type: "free", free: status };
}

const freely: readonly BenchEvent[] = [
  ...start,
  volts("17.93"),
  { type: "path", path },
  { type: "order", order: "free" },
];
const odds = ["54 %", "23 %", "12 %", "4 %"];
const asking = free({
  words: `17.9 V: ${places[0] ?? ""} Stay, or move the trigger back, for yes; lift for no.`,
  asking: true,
  matches: places.map((words, at) => ({ words, odds: odds[at] ?? "" })),
  taken: [
    `19.8 V ${places[1] ?? ""}`,
    "19.8 V from pack plus to pack minus (pack in the tool, trigger released).",
  ],
});

/** The same run with a step in which something comes off, after one that failed. */
const removes = { what: "upper half", from: "case", fasteners: 8, fastenerKind: "screw 4 × 16" };
const openCase = outline("open-case", "Open the case", {
  kind: "do",
  instruction:
    "Clamp the tool, chuck empty. Undo the case screws and lift the upper half off; leave every part in its seat.",
  red: null,
  black: null,
  cautions: [packCaution],
  removes,
});
const apart: BenchEvent = {
  type: "apart",
  job: "0001",
  apart: { order: [], leftOver: {}, partsLeft: 0, words: "Nothing was taken off." },
};
const takingApart: readonly BenchEvent[] = [
  ...failure.map((event): BenchEvent =>
    event.type === "run" ? { ...event, run: { ...run, steps: [...run.steps, openCase] } } : event,
  ),
  apart,
  {
    type: "begin",
    step: "open-case",
    index: 6,
    time_s: 100,
    instruction: openCase.instruction,
    cautions: [packCaution],
    why: null,
    limits: null,
    unit: "",
  },
];

const proposed: BenchEvent = {
  ...begin("switch-out", packLimits),
  type: "begin",
  step: "switch-out",
  index: 3,
  time_s: 100,
  instruction: "Red on the switch output, black on pack minus. Trigger squeezed.",
  cautions: [packCaution],
  why: {
    words: "It tells most for its work.",
    tells: [
      "nearly 0 V (42 %): trigger switch (88 %)",
      "15.0 to 17.5 V (9 %): trigger switch (61 %)",
      "17.5 to 20.0 V (49 %): motor leads (34 %)",
    ],
  },
  limits: packLimits,
  unit: "V",
};

export const orderScenes: Readonly<Record<string, readonly BenchEvent[]>> = {
  proposed: [
    ...full,
    { type: "order", order: "proposed" },
    proposed,
    contact("switch-out", "lifted"),
  ],
  "left-out": [
    ...failure,
    ...["brush-a", "motor"].map((step) =>
      recorded(step, "not-judged", null, {
        overload: false,
        limits: null,
        uncertainty: null,
        reason:
          "skipped: left out, trigger switch is at fault, and the odds of another fault are 3 %, less than 5 %",
      }),
    ),
    {
      type: "finished",
      passed: 1,
      failed: 1,
      other: 4,
      conclusion: "At fault: Trigger switch. Still suspect: Brushes.",
    },
  ],
  "free-waiting": [...freely, free({})],
  "free-asking": [...freely, asking],
  "taking-apart": takingApart,
};
