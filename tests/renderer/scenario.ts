import { calls } from "../../workbench/contract/calls.js";
import type {
  BenchEvent,
  MeterStatus,
  PowerPath,
  RecordedResult,
  RunStatus,
  StepOutline,
} from "../../workbench/contract/events.js";

/** An invented tool on an invented bench, told in the events of the contract. */

export const hello: BenchEvent = {
  type: "hello",
  version: "0.0.0-test",
  time_s: 100,
  calls: Object.keys(calls),
};

export function meter(state: MeterStatus["state"], channel = "a"): BenchEvent {
  const status: MeterStatus = {
    channel,
    address: "practice:bench",
    title: "Practice meter",
    state,
    time_s: 100,
    advice: null,
  };
  return { type: "meter", meter: status };
}

export function volts(digits: string, time_s = 100, channel = "a"): BenchEvent {
  const value = Number(digits);
  return {
    type: "reading",
    digits,
    prefix: "",
    reading: {
      time_s,
      channel,
      quantity: "voltage",
      coupling: "dc",
      value: Number.isNaN(value) ? null : value,
      overload: Number.isNaN(value),
      unit: "V",
      resolution: 0.01,
      flags: ["auto"],
    },
  };
}

export function outline(id: string, title: string, more: Partial<StepOutline> = {}): StepOutline {
  return {
    id,
    kind: "measure",
    title,
    instruction: "Red on pack plus, black on pack minus. Trigger released.",
    red: "pack plus",
    black: "pack minus",
    cautions: [],
    quantity: "voltage",
    coupling: "dc",
    unit: "V",
    means: {
      pass: "The pack holds a charge.",
      fail: "The pack is flat, asleep behind its protection, or open.",
    },
    removes: null,
    closing: false,
    choices: [],
    ...more,
  };
}

export const packCaution = {
  kind: "pack",
  words: "A pack can drive hundreds of amperes. Never bridge its terminals.",
};

export const run: RunStatus = {
  run: "run-1",
  plan: { id: "cordless-brushed", title: "Cordless drill, brushed", revision: "1" },
  tool: {
    make: "Demo Works",
    model: "DW-18 Sample",
    serial: "0000-DEMO",
    complaint: "Does nothing when the trigger is pulled",
  },
  jobFolder: "/home/demo/jobs/0001",
  practice: true,
  order: "fixed",
  steps: [
    outline("look-over", "Look the tool over", {
      kind: "look",
      instruction: "Is the case whole, dry and without scorch marks?",
      red: null,
      black: null,
      choices: [
        { id: "sound", label: "Whole and dry" },
        { id: "damaged", label: "Cracked, wet or scorched" },
      ],
    }),
    outline("pack-open", "Pack voltage at rest", { cautions: [packCaution] }),
    outline("pack-sag", "Pack voltage under the trigger", {
      instruction: "Stay on the pack terminals. Squeeze the trigger for two seconds, then let go.",
      cautions: [
        packCaution,
        { kind: "moving-tool", words: "The tool can start: clamp it, no bit in the chuck." },
      ],
    }),
    outline("switch-out", "Voltage after the trigger switch", {
      instruction: "Red on the switch output, black on pack minus. Trigger squeezed.",
      red: "switch output",
      cautions: [{ kind: "moving-tool", words: "The tool can start: clamp it, no bit in it." }],
      means: {
        pass: "The switch conducts.",
        fail: "The switch does not close, or its contacts are burnt.",
      },
    }),
    outline("brush-a", "Voltage at brush A", { red: "brush A" }),
    outline("motor", "Motor winding", { quantity: "resistance", coupling: null, unit: "Ω" }),
  ],
};

export function begin(step: string, limits: RecordedResult["limits"], unit = "V"): BenchEvent {
  const index = run.steps.findIndex(({ id }) => id === step);
  const { instruction = "", cautions = [] } = run.steps[index] ?? {};
  const told = { instruction, cautions, why: null };
  return { type: "begin", step, index, time_s: 100, ...told, limits, unit };
}

export function contact(
  step: string,
  state: "lifted" | "touching" | "settling" | "held",
  counts = 0,
  filled = 0,
): BenchEvent {
  const band = state === "lifted" ? null : { low: 18, high: 18 + counts / 100, counts, filled };
  return { type: "contact", step, contact: state, band };
}

export function recorded(
  step: string,
  verdict: RecordedResult["verdict"],
  value: number | null,
  more: Partial<RecordedResult> = {},
): BenchEvent {
  const result: RecordedResult = {
    event: "step",
    step,
    verdict,
    value,
    overload: value === null,
    unit: "V",
    resolution: 0.01,
    uncertainty: 0.07,
    k: 2,
    limits: { low: 17.5, high: 21 },
    rule: "guarded",
    risk: verdict === "not-judged" ? null : 0.0004,
    doubt: null,
    polarity: "as-marked",
    zero: null,
    started_s: 90,
    ended_s: 99,
    details: {},
    reason: null,
    ...more,
  };
  const title = run.steps.find(({ id }) => id === step)?.title ?? step;
  return { type: "recorded", result, title, words: spoken[verdict] };
}

const spoken = {
  pass: "Pass: nineteen point eight four volts.",
  fail: "Fail: minus zero point zero two volts, proved.",
  borderline: "Too close to call with this meter: seventeen point four six volts.",
  "not-judged": "Noted: whole and dry.",
} as const;

/** Half a minute of a pack at rest, a dropout, and a squeeze. */
export function trace(): BenchEvent {
  const time_s = Array.from({ length: 300 }, (_, at) => 70 + at / 10);
  const low = time_s.map((t) => (t > 80 && t < 83 ? null : voltageAt(t)));
  const high = low.map((value) => (value === null ? null : value + 0.05));
  return { type: "trace", channel: "a", fresh: true, time_s, low, high };
}

function voltageAt(time_s: number): number {
  const squeezed = time_s > 92 && time_s < 94.5;
  return 19.84 - (squeezed ? 2.4 : 0) + 0.02 * Math.sin(time_s * 7);
}

export const path: PowerPath = {
  parts: [
    part("charger", "Charger", "unknown", null, null),
    part("pack", "Pack", "cleared", 0.01, "19.84 V at rest, 17.4 V squeezed"),
    part("terminals", "Terminals", "cleared", 0.02, "0.03 V lost"),
    part("switch", "Trigger switch", "condemned", 0.97, "0.00 V after it, 17.4 V before it"),
    part("leads", "Motor leads", "suspect", 0.06, "not told apart from the switch yet"),
    part("brushes", "Brushes", "suspect", 0.12, null),
    part("motor", "Motor", "unknown", null, null),
    part("gears", "Gear train", "unknown", null, null),
  ],
  points: [
    { id: "pack-plus", label: "pack plus", after: "pack" },
    { id: "switch-in", label: "switch input", after: "terminals" },
    { id: "switch-out", label: "switch output", after: "switch" },
    { id: "brush-a", label: "brush A", after: "leads" },
    { id: "brush-b", label: "brush B", after: "brushes" },
  ],
  next: {
    red: "switch-out",
    black: "brush-b",
    words: "Red on the switch output, black on brush B.",
    tells: ["Zero: the switch alone is at fault.", "Pack voltage: leads or brushes are open."],
  },
};

function part(
  id: string,
  label: string,
  state: PowerPath["parts"][number]["state"],
  odds: number | null,
  reason: string | null,
): PowerPath["parts"][number] {
  return { id, label, state, odds, reason };
}

const unknownPath: PowerPath = {
  ...path,
  next: null,
  parts: path.parts.map(({ id, label }) => part(id, label, "unknown", null, null)),
};

export const packLimits = { low: 17.5, high: 21 };

export const start: readonly BenchEvent[] = [hello, meter("live"), { type: "run", run }];

export const full: readonly BenchEvent[] = [
  ...start,
  volts("19.84"),
  recorded("look-over", "not-judged", null, {
    overload: false,
    unit: "",
    limits: null,
    uncertainty: null,
    reason: "whole and dry",
  }),
  recorded("pack-open", "pass", 19.84, { polarity: "reversed" }),
  recorded("pack-sag", "borderline", 17.46, { risk: 0.21 }),
  trace(),
  { type: "path", path },
  begin("switch-out", packLimits),
  contact("switch-out", "lifted"),
];

export const failure: readonly BenchEvent[] = [
  ...full,
  volts("-0.02"),
  contact("switch-out", "held"),
  recorded("switch-out", "fail", -0.02, { zero: "proved" }),
  begin("brush-a", packLimits),
];

/** Every state in which the bench is looked at before it is called done. */
export const scenes: Readonly<Record<string, readonly BenchEvent[]>> = {
  start: [hello],
  empty: [...start, { type: "path", path: unknownPath }, begin("pack-open", packLimits)],
  look: [...start, { type: "path", path: unknownPath }, begin("look-over", null, "")],
  waiting: [
    ...full,
    volts("17.93"),
    contact("switch-out", "settling", 14, 0.4),
    {
      type: "prompt",
      step: "switch-out",
      kind: "squeeze",
      words: "Squeeze the trigger and hold it.",
    },
  ],
  full,
  held: [...full, contact("switch-out", "held")],
  stale: [...full, contact("switch-out", "settling", 3, 0.7), meter("stale")],
  lost: [...full, meter("lost")],
  failed: failure,
  finished: [
    ...failure,
    {
      type: "finished",
      passed: 2,
      failed: 1,
      other: 1,
      conclusion: "The trigger switch does not conduct. No second fault is left above 5 %.",
    },
  ],
  trouble: [
    ...full,
    {
      type: "trouble",
      error: {
        code: "job/disk-full",
        what: "The disk is full: nothing more can be recorded.",
        action: "Free some space; the step goes on by itself.",
      },
    },
  ],
  "two-meters": [...full, meter("live", "b"), { ...current("12.41") }],
};

function current(digits: string): BenchEvent {
  return {
    type: "reading",
    digits,
    prefix: "",
    reading: {
      time_s: 100,
      channel: "b",
      quantity: "current",
      coupling: "dc",
      value: Number(digits),
      overload: false,
      unit: "A",
      resolution: 0.01,
      flags: [],
    },
  };
}

export const answers = {
  listPlans: () => [
    { id: "cordless-brushed", title: "Cordless drill, brushed", kind: "drill", steps: 14 },
    { id: "pack-alone", title: "Pack alone", kind: "pack", steps: 8 },
  ],
  listMeters: () => [
    { address: "practice:bench", title: "Practice bench", note: "a simulated tool and meter" },
    { address: "serial:/dev/ttyUSB0", title: "Serial port /dev/ttyUSB0", note: "not identified" },
  ],
  listPractice: () => [
    {
      kind: "drill",
      title: "Cordless drill",
      choices: [{ address: "practice:bench", title: "A hidden fault, or none", note: "" }],
    },
  ],
  readOrder: () => ({ order: "fixed" }),
  setOrder: () => ({}),
  declareProbe: () => ({}),
  listTables: () => [],
  startRun: () => ({ run: "run-1" }),
  stopRun: () => ({}),
  confirm: () => ({}),
  skip: () => ({}),
  repeat: () => ({}),
};
