import type { FreeEvent } from "./free-event.js";
import type { HeldReading, Match } from "./match.js";

/** Time for a question to be said and for a hand to reach the key, seconds. */
const ANSWER_S = 6;
/** A dead circuit fits many places: only the likeliest are worth a question. */
const MOST_PLACES = 2;

interface Question {
  readonly held: HeldReading;
  readonly matches: readonly Match[];
  readonly at: number;
  readonly since_s: number;
}

type Answer =
  | { readonly kind: "place"; readonly held: HeldReading; readonly match: Match }
  | { readonly kind: "go-on" };

/**
 * The HOLD key with nothing on the probes: a dead circuit at one of the likeliest places, or, after
 * these, the wish that the proposal goes on. The key says yes, waiting says no.
 */
export class KeyQuestions {
  /** The key was pressed with nothing on the probes, and is not let go yet. */
  armed = false;
  private question: Question | null = null;

  get asking(): boolean {
    return this.question !== null;
  }

  ask(held: HeldReading, matches: readonly Match[], since_s: number): FreeEvent[] {
    return this.put({ held, matches: matches.slice(0, MOST_PLACES), at: 0, since_s });
  }

  /** What the key says yes to; null: nothing was asked. */
  pressed(): Answer | null {
    const { question } = this;
    this.question = null;
    if (question === null) return null;
    const match = question.matches[question.at];
    return match === undefined ? { kind: "go-on" } : { kind: "place", held: question.held, match };
  }

  /** The next question, when nobody has answered in time. */
  waited(now_s: number): FreeEvent[] {
    const { question } = this;
    if (question === null || now_s - question.since_s < ANSWER_S) return [];
    if (question.at < question.matches.length) {
      return this.put({ ...question, at: question.at + 1, since_s: now_s });
    }
    this.question = null;
    return [{ kind: "refused" }];
  }

  /** Something is on the probes: that is another answer. */
  drop(): void {
    this.question = null;
    this.armed = false;
  }

  private put(question: Question): FreeEvent[] {
    this.question = question;
    const { held, matches, at } = question;
    if (at >= matches.length) return [{ kind: "ask-go-on" }];
    return [{ kind: "ask", held, matches, at, by: "key" }];
  }
}
