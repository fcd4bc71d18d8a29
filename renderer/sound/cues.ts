import type { BenchEvent } from "../../workbench/contract/events.js";
import type { BenchState } from "../store/state.js";
import { outlineOf } from "../store/outline.js";
import { END_WORDS } from "../view/end-words.js";
import { meterSign } from "../view/meter-words.js";
import type { ToneName } from "./tones.js";

/** What kind of sentence: decides what may be cut short for it. */
export type Urgency = "instruction" | "prompt" | "verdict";

export interface Cue {
  readonly tone: ToneName | null;
  readonly words: string | null;
  /** In writing, where that is shorter: the cautions stand on the screen anyway. */
  readonly caption?: string;
  readonly urgency: Urgency;
}

/** What is to be heard of an event: the same as is to be seen, never more, never instead. */
export function cueOf(event: BenchEvent, before: BenchState): Cue | null {
  switch (event.type) {
    case "begin":
      return {
        ...said("instruction", beginWords(event.step, event.instruction, before)),
        caption: event.instruction,
      };
    case "prompt":
      return event.kind === null ? null : said("prompt", event.words);
    case "contact":
      return event.contact === "held" && before.step?.contact !== "held" ? heldCue : null;
    case "recorded":
      return { ...said("verdict", event.words), tone: verdictTone(event.result.verdict) };
    case "free": {
      const { words, asking, on } = event.free;
      return on && words !== before.free?.words ? said(asking ? "prompt" : "verdict", words) : null;
    }
    case "ended":
      // The end of a whole plan is told by its conclusion.
      return event.how === "finished" ? null : said("verdict", END_WORDS[event.how]);
    case "finished":
      return said("verdict", event.conclusion);
    case "trouble":
      return { ...said("verdict", `${event.error.what} ${event.error.action}`), tone: "lost" };
    case "meter":
      return meterCue(event.meter, before);
    default:
      return null;
  }
}

const heldCue: Cue = { tone: "held", words: null, urgency: "prompt" };

export const benchLost: Cue = {
  tone: "lost",
  words: "The bench process is gone. What was recorded is on disk.",
  urgency: "verdict",
};

function said(urgency: Urgency, words: string): Cue {
  return { tone: null, words, urgency };
}

/** A caution is said when it comes up; while it stands on the screen it is not said again. */
function beginWords(step: string, instruction: string, before: BenchState): string {
  const cautionsOf = (id: string | undefined) =>
    (id === undefined ? null : outlineOf(before.run, id))?.cautions ?? [];
  const standing = cautionsOf(before.step?.id ?? before.ledger.at(-1)?.result.step);
  const fresh = cautionsOf(step).filter(({ kind }) => !standing.some((old) => old.kind === kind));
  return [...fresh.map(({ words }) => `Caution. ${words}`), instruction].join(" ");
}

function verdictTone(verdict: "pass" | "fail" | "borderline" | "not-judged"): ToneName {
  return verdict === "not-judged" ? "held" : verdict;
}

type Meter = Extract<BenchEvent, { type: "meter" }>["meter"];

/** Only the loss of a meter that was there: one that is still being looked for is no news. */
function meterCue(meter: Meter, before: BenchState): Cue | null {
  const was = before.meters[meter.channel]?.state;
  if (was !== "live" || (meter.state !== "lost" && meter.state !== "stale")) return null;
  return { tone: "lost", words: `${meterSign(meter.state)}.`, urgency: "prompt" };
}
