import type { BenchEvent } from "../../workbench/contract/events.js";
import type { BenchState, Caution } from "../store/state.js";
import { outlineOf } from "../store/outline.js";
import { isLeftOut } from "../view/left-out.js";
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
        ...said("instruction", beginWords(event, before)),
        caption: event.instruction,
      };
    case "prompt":
      return event.kind === null ? null : said("prompt", event.words);
    case "contact":
      return event.contact === "held" && before.step?.contact !== "held" ? heldCue : null;
    case "recorded":
      if (isSaidOfAnother(event.result.reason, before)) return null;
      return { ...said("verdict", event.words), tone: verdictTone(event.result.verdict) };
    case "free": {
      const { words, asking, on, cautions } = event.free;
      const { words: last, cautions: standing = [] } = before.free ?? {};
      const fresh = cautionWords(cautions, standing);
      if (!on || (words === last && fresh.length === 0)) return null;
      const urgency = asking ? "prompt" : "verdict";
      return { ...said(urgency, [...fresh, words].join(" ")), caption: words };
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
function beginWords(
  { cautions, instruction }: Extract<BenchEvent, { type: "begin" }>,
  before: BenchState,
): string {
  const lastStep = before.ledger.at(-1)?.result.step ?? "";
  const standing = before.step?.cautions ?? outlineOf(before.run, lastStep)?.cautions ?? [];
  return [...cautionWords(cautions, standing), instruction].join(" ");
}

/** Those that have come up. */
function cautionWords(cautions: readonly Caution[], standing: readonly Caution[]): string[] {
  return cautions
    .filter(({ kind }) => !standing.some((old) => old.kind === kind))
    .map(({ words }) => `Caution. ${words}`);
}

/** Steps that are left out together are left out for one reason, which is said once. */
function isSaidOfAnother(reason: string | null, { ledger }: BenchState): boolean {
  return isLeftOut(reason) && ledger.at(-1)?.result.reason === reason;
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
