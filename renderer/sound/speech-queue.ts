import type { Urgency } from "./cues.js";

/** A voice that says one sentence at a time. */
export interface Voice {
  say(words: string, done: () => void): void;
  /** Breaks off what is being said; `done` of it is not called any more. */
  stop(): void;
}

interface Sentence {
  readonly words: string;
  readonly urgency: Urgency;
}

/**
 * One sentence after the other, none out of date: a new instruction replaces one not yet said, a
 * prompt breaks an instruction off, and a verdict is always said to its end.
 */
export class SpeechQueue {
  readonly #voice: Voice;
  #saying: Sentence | null = null;
  #waiting: Sentence[] = [];

  constructor(voice: Voice) {
    this.#voice = voice;
  }

  say(words: string, urgency: Urgency): void {
    const outdated = (sentence: Sentence): boolean =>
      sentence.urgency === "instruction" || (urgency !== "verdict" && sentence.urgency === urgency);
    this.#waiting = this.#waiting.filter((sentence) => !outdated(sentence));
    this.#waiting.push({ words, urgency });
    if (this.#saying !== null && outdated(this.#saying)) this.#breakOff();
    this.#next();
  }

  silence(): void {
    this.#waiting = [];
    this.#breakOff();
  }

  #breakOff(): void {
    if (this.#saying === null) return;
    this.#saying = null;
    this.#voice.stop();
  }

  #next(): void {
    if (this.#saying !== null) return;
    const sentence = this.#waiting.shift() ?? null;
    this.#saying = sentence;
    if (sentence === null) return;
    this.#voice.say(sentence.words, () => {
      if (this.#saying !== sentence) return;
      this.#saying = null;
      this.#next();
    });
  }
}
