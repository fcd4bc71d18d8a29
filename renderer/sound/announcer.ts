import { useSyncExternalStore } from "react";
import type { BenchEvent } from "../../workbench/contract/events.js";
import { getSettings } from "../settings/settings.js";
import type { BenchState } from "../store/state.js";
import { cueOf } from "./cues.js";
import type { Cue } from "./cues.js";
import { SpeechQueue } from "./speech-queue.js";
import type { Voice } from "./speech-queue.js";
import { TonePlayer } from "./tone-player.js";
import type { ToneName } from "./tones.js";

/** What was last heard, for those who do not hear it. */
export interface Captions {
  readonly words: string | null;
  readonly tone: ToneName | null;
  readonly asleep: boolean;
}

/** After a hello everything is old news for this long, or until the clock ticks. */
const SNAPSHOT_MS = 1500;

/** About as long as a verdict takes to be said. */
const VERDICT_MS = 5000;
/** More of them would hide what is to be done now. */
const MOST_STANDING = 2;

/** Turns events into tones, speech and captions. */
export class Announcer {
  readonly tones = new TonePlayer();
  readonly #speech: SpeechQueue;
  readonly #listeners = new Set<() => void>();
  readonly #now_ms: () => number;
  #captions: Captions = { words: null, tone: null, asleep: true };
  /** The verdicts that were told last, and until when they stand beside what follows. */
  #verdicts: readonly { readonly words: string; readonly until_ms: number }[] = [];
  /** Until then events tell the past: shown, not said. */
  #quietUntil_ms = 0;

  constructor(voice: Voice, now_ms: () => number) {
    this.#speech = new SpeechQueue(voice);
    this.#now_ms = now_ms;
  }

  hear(event: BenchEvent, before: BenchState): void {
    if (event.type === "hello") this.#quietUntil_ms = this.#now_ms() + SNAPSHOT_MS;
    if (event.type === "clock") this.#quietUntil_ms = 0;
    const cue = cueOf(event, before);
    if (cue !== null && this.#now_ms() >= this.#quietUntil_ms) this.give(cue);
  }

  give({ tone, words, urgency, caption }: Cue): void {
    const { muted, speech, volume } = getSettings();
    const { captions } = this;
    const written = caption ?? words;
    this.#caption({
      words: written === null ? captions().words : this.#afterVerdict(written, urgency),
      tone: tone ?? captions().tone,
    });
    if (muted) return;
    if (tone !== null) this.tones.play(tone, volume);
    if (words !== null && speech) this.#speech.say(words, urgency);
  }

  /** A verdict is said to its end before what follows it; in writing it stays as long. */
  #afterVerdict(words: string, urgency: Cue["urgency"]): string {
    const now_ms = this.#now_ms();
    const standing = this.#verdicts
      .filter(({ until_ms }) => now_ms < until_ms)
      .slice(-MOST_STANDING);
    this.#verdicts =
      urgency === "verdict" ? [...standing, { words, until_ms: now_ms + VERDICT_MS }] : standing;
    return [...standing.map((each) => each.words), words].join(" ");
  }

  /** While a key or click is handled, so that the browser lets tones through from now on. */
  async wake(): Promise<void> {
    await this.tones.wake();
    if (this.#captions.asleep === this.tones.awake) this.#caption({});
  }

  silence(): void {
    this.#speech.silence();
  }

  readonly captions = (): Captions => this.#captions;

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  #caption(change: Partial<Captions>): void {
    this.#captions = { ...this.#captions, ...change, asleep: !this.tones.awake };
    for (const listener of this.#listeners) listener();
  }
}

export function useCaptions(announcer: Announcer): Captions {
  return useSyncExternalStore(announcer.subscribe, announcer.captions);
}
