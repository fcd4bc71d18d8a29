import { leftWords, takenApart } from "../../workbench/plan/taken-apart.js";
import type { ApartEvent } from "../../workbench/plan/taken-apart.js";
import type { Apart } from "../../workbench/contract/apart.js";
import type { TimedReading } from "../../protocols/reading.js";
import { displayOf } from "../../protocols/display.js";
import { readingToJson } from "../../workbench/contract/reading.js";
import type { BenchEvent } from "../../workbench/contract/events.js";
import { cautionWords } from "../../workbench/plan/cautions.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { RunEvent } from "../../workbench/plan/run-event.js";

/** A reading as the window gets it: the digits are the meter's own. */
export function readingMessage(reading: TimedReading): BenchEvent {
  return { type: "reading", reading: readingToJson(reading), ...displayOf(reading) };
}

type ShownEvent = Exclude<RunEvent, { kind: "finished" | "choose" }>;

/** What the runner said, as the window gets it; `finished` needs the diagnosis and is not here. */
export function runMessage(event: ShownEvent, plan: Plan): BenchEvent {
  switch (event.kind) {
    case "begin": {
      const { step, index, time_s, instruction, limits, unit } = event;
      const cautions = event.cautions.map((kind) => ({ kind, words: cautionWords(kind) }));
      const why = event.why && { words: event.why.words, tells: [...event.why.tells] };
      return { type: "begin", step, index, time_s, instruction, cautions, why, limits, unit };
    }
    case "contact": {
      const { step, contact, band } = event;
      return { type: "contact", step, contact, band };
    }
    case "prompt":
      return {
        type: "prompt",
        step: event.step,
        kind: event.prompt?.kind ?? null,
        words: event.words,
      };
    case "step": {
      const title = plan.steps.find(({ id }) => id === event.result.step)?.title ?? "";
      return { type: "recorded", result: { ...event.result }, title, words: event.words };
    }
  }
}

/** As the window gets it. */
export function apartMessage(plan: Plan, events: Iterable<ApartEvent>): Apart {
  const { order, leftOver, partsLeft } = takenApart(plan, events);
  return {
    order: order.map((entry) => ({ ...entry, photos: [...entry.photos] })),
    leftOver: { ...leftOver },
    partsLeft,
    words: leftWords({ partsLeft, leftOver }),
  };
}
